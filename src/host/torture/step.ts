/** What one part of the torture came to: a line for people, and whether it holds. */
export type Step = { readonly words: string; readonly holds: boolean };

type Say = (words: string) => void;

/** What each part of the torture is given. */
export type TortureSettings = {
  readonly rounds: number;
  readonly seed: number;
  /** An empty folder of its own. */
  readonly folder: string;
  /** Takes a line as it comes, for whoever watches. */
  readonly say: Say;
};
