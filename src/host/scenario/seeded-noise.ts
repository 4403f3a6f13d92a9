/**
 * Repeatable randomness for the invented cellar: the same seed and name give the same series on any
 * machine. Each sensor draws from a series of its own, so that adding one does not change the others.
 *
 * Generator: sfc32, C. Doty-Humphrey, PractRand 0.93 (2014); seeding by 32-bit FNV-1a, Fowler, Noll and
 * Vo (1991). Normal deviates: G. E. P. Box and M. E. Muller, Ann. Math. Statist. 29 (1958) 610.
 */
export type Noise = {
  /** Uniform in [0, 1). */
  readonly uniform: () => number;
  /** Normal, mean 0 and standard deviation 1. */
  readonly normal: () => number;
};

const fnv1a = (text: string, start: number): number => {
  let hash = start;
  for (const byte of new TextEncoder().encode(text)) {
    hash = Math.imul(hash ^ byte, 0x01000193);
  }
  return hash | 0;
};

export const seededNoise = (seed: number, name: string): Noise => {
  let a = seed | 0;
  let b = fnv1a(name, 0x811c9dc5 | 0);
  let c = fnv1a(`${seed}`, b);
  let counter = 1;
  const uniform = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 2 ** 32;
  };
  // The first draws still resemble the seed.
  for (let draw = 0; draw < 15; draw += 1) uniform();
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
};
