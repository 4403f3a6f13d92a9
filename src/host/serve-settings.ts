/** What `npm start` is told by its environment and arguments, checked before anything is touched. */
import * as z from 'zod';
import { fail, ok, type Result } from '../result.ts';

const anotherKeeperKey = '--another-keeper-key';

const shape = z.object({
  STATE: z.string().min(1).default('.state'),
  HOST: z.string().min(1).default('127.0.0.1'),
  PORT: z.coerce.number().int().min(0).max(65_535).default(8787),
  CELLAR: z
    .string()
    .regex(/^[a-z0-9][a-z0-9-]{0,62}$/)
    .default('cellar'),
  ALLOW_PRIVATE_RECEIVERS: z.enum(['yes', 'no']).default('no'),
  PUBLIC_URL: z
    .url({ protocol: /^https?$/ })
    .nullable()
    .default(null),
});

export type ServeSettings = {
  /** The state folder. */
  readonly state: string;
  readonly host: string;
  readonly port: number;
  /** Name of the cellar to make where it does not exist. */
  readonly cellar: string;
  readonly allowPrivateReceivers: boolean;
  /** Where people reach the pages; null leaves links out of messages. */
  readonly publicUrl: string | null;
  /** Make and print one more keeper key: the way out for whoever lost the first. */
  readonly anotherKeeperKey: boolean;
};

const rules: Readonly<Record<keyof z.infer<typeof shape>, string>> = {
  STATE: 'give a folder',
  HOST: 'give an address of this machine',
  PORT: 'give a whole number from 0 (any free port) to 65535',
  CELLAR: 'give 1 to 63 lower-case letters, digits and hyphens',
  ALLOW_PRIVATE_RECEIVERS: 'give yes or no',
  PUBLIC_URL: 'give a whole address such as https://cellar.example',
};

/** The fault is a sentence for the terminal. */
export const serveSettings = (
  environment: Readonly<Record<string, string | undefined>>,
  args: readonly string[],
): Result<ServeSettings, string> => {
  const unknown = args.find((argument) => argument !== anotherKeeperKey);
  if (unknown !== undefined)
    return fail(`unknown argument ${unknown}; the only one is ${anotherKeeperKey}`);
  const read = shape.safeParse(environment);
  if (!read.success) {
    const field = read.error.issues[0]?.path[0] as keyof typeof rules;
    return fail(`${field}=${environment[field]} will not do; ${rules[field]}`);
  }
  const { STATE, HOST, PORT, CELLAR, ALLOW_PRIVATE_RECEIVERS, PUBLIC_URL } = read.data;
  return ok({
    state: STATE,
    host: HOST,
    port: PORT,
    cellar: CELLAR,
    allowPrivateReceivers: ALLOW_PRIVATE_RECEIVERS === 'yes',
    publicUrl: PUBLIC_URL,
    anotherKeeperKey: args.includes(anotherKeeperKey),
  });
};
