/**
 * Remembers what a build was made from, so that an unchanged tree is not built again: size and time of
 * change of every input and every output. An input that is added later is named by one that changes.
 */
import { readFile, rm, stat, writeFile } from 'node:fs/promises';

type Marks = Readonly<Record<string, string>>;

const markOf = async (path: string): Promise<string> => {
  const found = await stat(path).catch(() => null);
  return found === null ? 'missing' : `${found.size} ${found.mtimeMs}`;
};

const marksOf = async (paths: readonly string[]): Promise<Marks> =>
  Object.fromEntries(
    await Promise.all(paths.map(async (path) => [path, await markOf(path)] as const)),
  );

/** A file that was changed while the build ran may have been read before: then nothing is remembered. */
export const stampBuild = async (
  stampFile: string,
  paths: { readonly inputs: readonly string[]; readonly outputs: readonly string[] },
  startedMilliseconds: number,
): Promise<void> => {
  const inputs = await marksOf(paths.inputs);
  const changedSince = Object.values(inputs).some(
    (mark) => Number(mark.split(' ')[1]) >= startedMilliseconds,
  );
  if (changedSince) return rm(stampFile, { force: true });
  await writeFile(stampFile, JSON.stringify({ ...inputs, ...(await marksOf(paths.outputs)) }));
};

/** True where every input and every output is as the stamp saw it; false where no stamp can be read. */
export const isBuilt = async (stampFile: string): Promise<boolean> => {
  try {
    const seen = JSON.parse(await readFile(stampFile, 'utf8')) as Marks;
    const present = await marksOf(Object.keys(seen));
    return Object.entries(seen).every(([path, mark]) => present[path] === mark);
  } catch {
    return false;
  }
};
