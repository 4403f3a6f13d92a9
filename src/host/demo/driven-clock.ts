/** Cellar time in the demo: moved by hand through the story, then the time of this machine. */
export type DrivenClock = {
  /** Unix seconds of cellar time. */
  readonly now: () => number;
  readonly moveTo: (timeSeconds: number) => void;
  /** Follows this machine's clock from here on. */
  readonly letGo: () => void;
};

export const drivenClock = (startAt: number): DrivenClock => {
  let at: number | null = startAt;
  return {
    now: () => at ?? Date.now() / 1000,
    moveTo: (timeSeconds) => {
      at = timeSeconds;
    },
    letGo: () => {
      at = null;
    },
  };
};
