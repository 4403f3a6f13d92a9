/** An operation's example as a line for a shell, ready to paste. Pure: no I/O, no clock. */
import type { Operation } from './operation.ts';
import { parameters } from './parameters.ts';

/** Single quotes keep everything in a POSIX shell but a single quote. */
const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;

const keyOf = ({ who }: Operation): readonly string[] => {
  if (who === 'anyone') return [];
  return ['-H', `"Authorization: Bearer $${who === 'host' ? 'OPERATOR_SECRET' : 'KEY'}"`];
};

const bodyOf = ({ bodies = {} }: Operation): readonly string[] => {
  const [first] = Object.entries(bodies);
  if (first === undefined) return [];
  const [media, { example }] = first;
  const header = ['-H', quoted(`Content-Type: ${media}`)];
  if (example instanceof Uint8Array) return [...header, '--data-binary', '@FILE'];
  const text = typeof example === 'string' && !media.endsWith('json') ? example : null;
  return [...header, '--data-binary', quoted(text ?? JSON.stringify(example))];
};

export const curlLine = (operation: Operation, origin: string): string => {
  const { method, path } = operation;
  const filled = path.replaceAll(/\{([a-z]+)\}/g, (_, name: string) =>
    encodeURIComponent(parameters[name]?.example ?? name),
  );
  return [
    'curl',
    ...(method === 'get' ? [] : ['-X', method.toUpperCase()]),
    quoted(`${origin}${filled}`),
    ...keyOf(operation),
    ...bodyOf(operation),
  ].join(' ');
};
