/** The processes that a process has started, found through /proc: outside Linux none are found. */
import { readdirSync, readFileSync } from 'node:fs';

const parentOf = (processId: number): number | null => {
  try {
    // The name of the program, in brackets, may hold spaces.
    const fields = readFileSync(`/proc/${processId}/stat`, 'utf8').split(') ').at(-1)?.split(' ');
    return Number(fields?.[1] ?? Number.NaN);
  } catch {
    return null;
  }
};

/** Process ids; one that ends meanwhile is left out. */
export const childrenOf = (processId: number): readonly number[] => {
  if (process.platform !== 'linux') return [];
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((candidate) => parentOf(candidate) === processId);
};
