/**
 * The folder in which a cellar lives on this machine: the objects' SQLite files and the secrets.
 * Opened by one process at a time. The secrets are made at the first run and readable by their owner only.
 */
import { createHash, randomBytes } from 'node:crypto';
import {
  accessSync,
  closeSync,
  constants,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  statSync,
  writeSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { join, resolve } from 'node:path';
import * as z from 'zod';
import { fail, ok, type Result } from '../result.ts';

const secretsShape = z.object({
  /** Guards the founding of cellars and of keeper keys. */
  operatorSecret: z.string().min(32),
  /** Signs the page's session cookies. */
  cookieSecret: z.string().min(32),
});

export type StateFolder = {
  readonly folder: string;
  /** Where the objects' SQLite files are. */
  readonly objects: string;
  readonly secrets: Readonly<z.infer<typeof secretsShape>>;
};

export type StateFault =
  | { readonly kind: 'not-writable'; readonly folder: string; readonly reason: string }
  | { readonly kind: 'in-use'; readonly folder: string }
  | { readonly kind: 'secrets-unreadable'; readonly path: string; readonly reason: string };

export const stateFaultWords = (fault: StateFault): string => {
  switch (fault.kind) {
    case 'not-writable':
      return `the state folder ${fault.folder} cannot be written: ${fault.reason}; see to that, or name another with STATE=FOLDER`;
    case 'in-use':
      return `the state folder ${fault.folder} is in use by another Gyleward; stop that one first, or name another folder with STATE=FOLDER`;
    case 'secrets-unreadable':
      return `the secrets in ${fault.path} cannot be read: ${fault.reason}; bring the file back from a backup, or delete it to have others made (people then sign in again)`;
  }
};

const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error);

const reasonOf = (error: unknown): string => {
  const code = codeOf(error);
  const known: Readonly<Record<string, string>> = {
    ENOENT: 'the folder above it does not exist',
    EEXIST: 'a file of that name stands there',
    ENOTDIR: 'a file stands in its path',
    EACCES: 'permission denied',
    EROFS: 'the file system is read-only',
    ENOSPC: 'the disk is full',
  };
  return known[code] ?? code;
};

/**
 * Holds a name that the kernel gives to one process and takes back when it ends, however it ends: a
 * Linux abstract socket. Elsewhere the folder is not guarded, and only the port keeps a second one out.
 */
const takeAlone = (folder: string): Promise<boolean> => {
  if (process.platform !== 'linux') return Promise.resolve(true);
  const name = createHash('sha256').update(folder).digest('hex').slice(0, 32);
  const holder = createServer();
  return new Promise((settle) => {
    holder.once('error', () => settle(false));
    holder.listen(`\0gyleward-${name}`, () => settle(true));
    holder.unref();
  });
};

/** The folder above must be there: a mistyped path is told, not built. */
const makeFolder = (folder: string): void => {
  try {
    mkdirSync(folder, { mode: 0o700 });
  } catch (error) {
    if (codeOf(error) !== 'EEXIST' || !statSync(folder).isDirectory()) throw error;
  }
};

const makeSecrets = (path: string): StateFolder['secrets'] => {
  const secrets = {
    operatorSecret: randomBytes(32).toString('base64url'),
    cookieSecret: randomBytes(32).toString('base64url'),
  };
  // Written beside and renamed, so that a crash leaves either no file or a whole one.
  const half = `${path}.half`;
  const file = openSync(half, 'w', 0o600);
  writeSync(file, `${JSON.stringify(secrets, null, 2)}\n`);
  fsyncSync(file);
  closeSync(file);
  renameSync(half, path);
  return secrets;
};

const readSecrets = (path: string): StateFolder['secrets'] | null => {
  try {
    return secretsShape.parse(JSON.parse(readFileSync(path, 'utf8')));
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null;
    throw error;
  }
};

export const openStateFolder = async (wanted: string): Promise<Result<StateFolder, StateFault>> => {
  const objects = join(wanted, 'objects');
  let folder: string;
  try {
    makeFolder(wanted);
    makeFolder(objects);
    accessSync(wanted, constants.W_OK);
    accessSync(objects, constants.W_OK);
    folder = realpathSync(wanted);
  } catch (error) {
    return fail({ kind: 'not-writable', folder: resolve(wanted), reason: reasonOf(error) });
  }
  if (!(await takeAlone(folder))) return fail({ kind: 'in-use', folder });
  const path = join(folder, 'secrets.json');
  let known: StateFolder['secrets'] | null;
  try {
    known = readSecrets(path);
  } catch (error) {
    const reason = error instanceof z.ZodError ? 'a secret is missing or short' : String(error);
    return fail({ kind: 'secrets-unreadable', path, reason });
  }
  try {
    return ok({ folder, objects: join(folder, 'objects'), secrets: known ?? makeSecrets(path) });
  } catch (error) {
    return fail({ kind: 'not-writable', folder, reason: reasonOf(error) });
  }
};
