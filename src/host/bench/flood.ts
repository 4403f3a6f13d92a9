/** Requests over kept connections, one after the other on each, and what they took. */
import { Agent, request } from 'node:http';
import { quantileSorted } from 'simple-statistics';

export type Shot = {
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
};

export type Flood = {
  readonly requests: number;
  readonly seconds: number;
  /** Milliseconds of each request, shortest first. */
  readonly took: readonly number[];
  /** Kept connections that were found closed; the request was sent again, as any client does. */
  readonly resets: number;
};

/** False where a kept connection turned out to be closed. */
const shoot = (origin: URL, agent: Agent, { path, headers, body }: Shot): Promise<boolean> =>
  new Promise((settle, refuse) => {
    const asked = request(
      { agent, host: origin.hostname, port: origin.port, path, method: 'POST', headers },
      (answer) => {
        let text = '';
        answer.setEncoding('utf8');
        answer.on('data', (part: string) => {
          text += part;
        });
        answer.on('end', () => {
          if (answer.statusCode === 200) settle(true);
          else refuse(new Error(`${path} was answered ${answer.statusCode}: ${text}`));
        });
        answer.on('error', refuse);
      },
    );
    asked.on('error', (error) => {
      if (asked.reusedSocket && 'code' in error && error.code === 'ECONNRESET') settle(false);
      else refuse(error);
    });
    asked.end(body);
  });

export const flood = async (
  url: string,
  connections: number,
  milliseconds: number,
  next: () => Shot,
): Promise<Flood> => {
  const origin = new URL(url);
  const agent = new Agent({ keepAlive: true, maxSockets: connections });
  const took: number[] = [];
  let resets = 0;
  const since = performance.now();
  const until = since + milliseconds;
  const line = async (): Promise<void> => {
    while (performance.now() < until) {
      const begin = performance.now();
      const shot = next();
      while (!(await shoot(origin, agent, shot))) resets += 1;
      took.push(performance.now() - begin);
    }
  };
  try {
    await Promise.all(Array.from({ length: connections }, line));
  } finally {
    agent.destroy();
  }
  const seconds = (performance.now() - since) / 1000;
  took.sort((one, other) => one - other);
  return { requests: took.length, seconds, took, resets };
};

/** Several floods as one. */
export const joined = (floods: readonly Flood[]): Flood => ({
  requests: floods.reduce((sum, { requests }) => sum + requests, 0),
  seconds: floods.reduce((sum, { seconds }) => sum + seconds, 0),
  took: floods.flatMap(({ took }) => took).sort((one, other) => one - other),
  resets: floods.reduce((sum, { resets }) => sum + resets, 0),
});

export const milliseconds = ({ took }: Pick<Flood, 'took'>, share: number): string =>
  `${quantileSorted([...took], share).toFixed(1)} ms`;
