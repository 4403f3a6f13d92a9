/**
 * Remembers what a build was made from, so that an unchanged tree is not built again: size and time of
 * change of every input and every output. An input that is added later is named by one that changes.
 */
import { readFile, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';

type Marks = Readonly<Record<string, string>>;

const markOf = async (path: string): Promise<string> => {
  const found = await stat(path).catch(() => null);
  return found === null ? 'missing' : `${found.size} ${found.mtimeMs}`;
};

/** Paths are told from the root, so that a copied tree is not taken for the one it came from. */
const marksOf = async (root: string, paths: readonly string[]): Promise<Marks> =>
  Object.fromEntries(
    await Promise.all(paths.map(async (path) => [path, await markOf(join(root, path))] as const)),
  );

/** A file that was changed while the build ran may have been read before: then nothing is remembered. */
export const stampBuild = async (
  root: string,
  stampFile: string,
  paths: { readonly inputs: readonly string[]; readonly outputs: readonly string[] },
  startedMilliseconds: number,
): Promise<void> => {
  const inputs = await marksOf(root, paths.inputs);
  const changedSince = Object.values(inputs).some(
    (mark) => Number(mark.split(' ')[1]) >= startedMilliseconds,
  );
  if (changedSince) return rm(join(root, stampFile), { force: true });
  await writeFile(
    join(root, stampFile),
    JSON.stringify({ ...inputs, ...(await marksOf(root, paths.outputs)) }),
  );
};

/** True where every input and every output is as the stamp saw it; false where no stamp can be read. */
export const isBuilt = async (root: string, stampFile: string): Promise<boolean> => {
  try {
    const seen = JSON.parse(await readFile(join(root, stampFile), 'utf8')) as Marks;
    const present = await marksOf(root, Object.keys(seen));
    return Object.entries(seen).every(([path, mark]) => present[path] === mark);
  } catch {
    return false;
  }
};
