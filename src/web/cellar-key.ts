/**
 * The text form of a key: `gyl.{cellar}.{secret}`. The cellar's name in it lets a person sign in
 * with the key alone, and lets the worker ask the right cellar; the whole text is what is hashed.
 */
import { hashOf, newSecret } from './secret.ts';

export type NewKey = { readonly id: string; readonly key: string; readonly hash: string };

export const newKey = async (cellar: string): Promise<NewKey> => {
  const key = `gyl.${cellar}.${newSecret()}`;
  return { id: `key_${crypto.randomUUID()}`, key, hash: await hashOf(key) };
};

/** The cellar that a key names; null where the text is no key at all. */
export const cellarOfKey = (key: string): string | null =>
  /^gyl\.([a-z0-9][a-z0-9-]{0,62})\.[A-Za-z0-9_-]{43}$/.exec(key)?.[1] ?? null;
