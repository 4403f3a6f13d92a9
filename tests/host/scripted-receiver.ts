/**
 * A receiver on a real socket of this machine that behaves badly on purpose: it answers as its script says,
 * request by request, and then 204. It notes what it was sent, when by the cellar's clock, and whether it took it.
 */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

export type Manner =
  | { readonly status: number; readonly headers?: Readonly<Record<string, string>> }
  /** The connection is closed without an answer. */
  | 'close'
  /** Nothing is answered until `answerLate`. */
  | 'hang';

type Arrival = {
  readonly id: string;
  readonly at: number;
  readonly taken: boolean;
  readonly event: {
    readonly type: string;
    readonly data: {
      readonly vessel?: string;
      readonly change?: { readonly transition: string; readonly alarm: { readonly alarm: string } };
    };
  };
};

export type ScriptedReceiver = {
  readonly url: string;
  readonly arrivals: readonly Arrival[];
  readonly script: (...manners: readonly Manner[]) => void;
  /** What hangs is answered with 204, too late. */
  readonly answerLate: () => void;
  /** Stops listening; the port stays its own. */
  readonly goDown: () => Promise<void>;
  readonly comeUp: () => Promise<void>;
};

const bodyOf = async (request: IncomingMessage): Promise<string> => {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts).toString('utf8');
};

export const startScriptedReceiver = async (clock: () => number): Promise<ScriptedReceiver> => {
  const arrivals: Arrival[] = [];
  const manners: Manner[] = [];
  const hanging: ServerResponse[] = [];
  const take = async (request: IncomingMessage, answer: ServerResponse): Promise<void> => {
    const body = await bodyOf(request);
    const manner = manners.shift() ?? { status: 204 };
    const taken = typeof manner === 'object' && manner.status < 300;
    arrivals.push({
      id: String(request.headers['webhook-id']),
      at: clock(),
      taken,
      event: JSON.parse(body) as Arrival['event'],
    });
    if (manner === 'close') request.socket.destroy();
    else if (manner === 'hang') hanging.push(answer);
    else answer.writeHead(manner.status, manner.headers).end();
  };
  const server = createServer((request, answer) => {
    take(request, answer).catch((error: unknown) => answer.writeHead(400).end(String(error)));
  });
  const listen = (port: number): Promise<void> =>
    new Promise((settle) => server.listen(port, '127.0.0.1', settle));
  await listen(0);
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}/gyleward`,
    arrivals,
    script: (...more) => {
      manners.length = 0;
      manners.push(...more);
    },
    answerLate: () => {
      for (const answer of hanging.splice(0)) answer.writeHead(204).end();
    },
    goDown: () =>
      new Promise((settle) => {
        if (!server.listening) settle();
        else server.close(() => settle());
        server.closeAllConnections();
      }),
    comeUp: () => listen(port),
  };
};
