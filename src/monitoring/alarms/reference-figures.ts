/**
 * What the standards are quoted with for the performance of an alarm system. They are made for one operator who
 * watches a process plant; a cellar whose people sleep should lie far below. None was read in the standard itself.
 * Pure data.
 */

export type Reference = {
  /** The figure should not be above it; null where the reference is a share to be near to. */
  readonly most: number | null;
  readonly words: string;
  readonly source: string;
  /** Read in a source that cites the standard, or recalled and not read. */
  readonly known: 'seen second-hand' | 'from memory';
};

const secondHand = (most: number | null, words: string, source: string): Reference => ({
  most,
  words,
  source,
  known: 'seen second-hand',
});

const recalled = (most: number | null, words: string, source: string): Reference => ({
  most,
  words,
  source,
  known: 'from memory',
});

const both = 'ISA-18.2 and IEC 62682';

export const referenceFigures = {
  alarmsPerDay: [
    secondHand(144, 'about 144 a day are acceptable', 'IEC 62682:2014'),
    secondHand(150, 'about 150 a day are acceptable', 'ISA-18.2-2009'),
    recalled(300, 'about 300 a day are the most that can be managed', both),
  ],
  mostInTenMinutes: [secondHand(10, 'more than 10 in 10 minutes are a flood', 'ISA-18.2')],
  shareOfTimeInFlood: [secondHand(0.01, 'less than about 1 % of the time', 'ISA-18.2')],
  topTenShare: [
    recalled(null, 'the ten most frequent make 1 to 5 % of all, in a plant with thousands', both),
  ],
  highShare: [secondHand(null, 'about 5 % are of high priority', 'EEMUA 191')],
  mediumShare: [secondHand(null, 'about 15 % are of medium priority', 'EEMUA 191')],
  lowShare: [secondHand(null, 'about 80 % are of low priority', 'EEMUA 191')],
  stale: [recalled(4, 'fewer than 5 on any day', both)],
  chattering: [recalled(0, 'none', both)],
  meanSecondsToAcknowledge: [],
} as const satisfies Record<string, readonly Reference[]>;
