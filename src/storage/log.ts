import { redacted } from './redacted.ts';

/** One JSON object per line, for whoever runs the worker. Never a key, a secret or a body. */
export const log = (
  event: string,
  facts: Readonly<Record<string, string | number | null>>,
): void => {
  // biome-ignore lint/suspicious/noConsole: the platform's log is the console
  console.log(redacted(JSON.stringify({ event, ...facts })));
};
