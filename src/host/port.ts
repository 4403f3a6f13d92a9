/** Finds out whether an address can be listened on, in words that say what to do. */
import { createServer } from 'node:net';
import { fail, ok, type Result } from '../result.ts';

export type PortFault = {
  readonly kind: 'port-refused';
  readonly host: string;
  readonly port: number;
  readonly code: string;
};

/** Port 0 asks for any free port; the answer is the port found free, released again. */
export const freePort = (host: string, port: number): Promise<Result<number, PortFault>> => {
  const trial = createServer();
  return new Promise((settle) => {
    trial.once('error', (error: NodeJS.ErrnoException) => {
      settle(fail({ kind: 'port-refused', host, port, code: error.code ?? String(error) }));
    });
    trial.listen({ host, port, exclusive: true }, () => {
      const address = trial.address();
      const found = typeof address === 'object' && address !== null ? address.port : port;
      trial.close(() => settle(ok(found)));
    });
  });
};

export const portFaultWords = ({ host, port, code }: PortFault): string => {
  switch (code) {
    case 'EADDRINUSE':
      return `port ${port} on ${host} is taken; stop what listens there, or name another with PORT=NUMBER`;
    case 'EACCES':
      return `port ${port} on ${host} is not allowed to this user; name one above 1023 with PORT=NUMBER`;
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
      return `host ${host} is no address of this machine; name one with HOST=ADDRESS (127.0.0.1 is this machine alone)`;
    default:
      return `port ${port} on ${host} cannot be listened on: ${code}`;
  }
};
