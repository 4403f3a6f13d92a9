/**
 * Ageing in the barrel: overdue topping and test of sulphur dioxide, counted from the last one written down or else
 * from the start of the stage, and the least age. Pure: no I/O, no clock.
 */
import type { Finding } from '../finding.ts';
import type { Happening } from '../watched.ts';
import { duration } from '../words/spoken.ts';
import { lastDone } from './deed.ts';
import { limitOf } from './limits.ts';
import { plainFinding, type StageClock, type StageView } from './stage-view.ts';

const care = {
  topping: { deed: 'topped', limit: 'toppingSeconds', kind: 'overdue-topping' },
  testing: { deed: 'tested', limit: 'testingSeconds', kind: 'overdue-test' },
} as const;

export const ageingClocks = (view: StageView): readonly StageClock[] => {
  const clocks: StageClock[] = [];
  for (const clock of ['topping', 'testing'] as const) {
    const every = limitOf(view.watched, 'ageing', care[clock].limit);
    if (every === null) continue;
    const from = lastDone(view.batch, care[clock].deed) ?? view.since;
    clocks.push({
      clock,
      doneSeconds: Math.max(0, view.now - from),
      ofSeconds: every,
      dueAt: from + every,
    });
  }
  const age = limitOf(view.watched, 'ageing', 'leastAgeSeconds');
  if (age !== null) {
    clocks.push({
      clock: 'age',
      doneSeconds: Math.max(0, view.now - view.since),
      ofSeconds: age,
      dueAt: view.since + age,
    });
  }
  return clocks;
};

/** Low: a month is not kept to the hour; it is done at the next visit. */
export const overdueCare = (view: StageView, clocks: readonly StageClock[]): readonly Finding[] =>
  clocks.flatMap((clock) => {
    if (clock.clock !== 'topping' && clock.clock !== 'testing') return [];
    const { deed, kind } = care[clock.clock];
    const overdue = clock.dueAt !== null && view.now >= clock.dueAt;
    const topping = clock.clock === 'topping';
    const last = lastDone(view.batch, deed);
    return [
      plainFinding(kind, overdue ? 'holds' : 'clear', view.now, 'low', () => ({
        evidence: overdue
          ? `${topping ? 'topping' : 'a test of free sulphur dioxide'} was due every ${duration(clock.ofSeconds)}; ` +
            (last === null
              ? `none is written down in the ${duration(clock.doneSeconds)} since ageing began.`
              : `the last was written down ${duration(clock.doneSeconds)} ago.`)
          : `${topping ? 'topped' : 'tested'} ${duration(clock.doneSeconds)} ago.`,
        likelyCauses: ['it was forgotten', 'it was done and not written down'],
        checkFirst: topping
          ? [
              'draw the bung and look how far the drink has sunk',
              'top up with sound drink of the same kind, and write it down',
              'smell for vinegar: air above the drink feeds acetic bacteria',
            ]
          : [
              'measure free sulphur dioxide and pH, and write it down',
              'work out the molecular share: free sulphur dioxide means little without its pH',
              'add sulphite only by what was measured, with gloves and fresh air',
            ],
        caution: topping
          ? null
          : 'Sulphur dioxide and its salts harm lungs and eyes, and the law limits them in drinks. Ventilate, and follow the label and local law.',
        source: topping
          ? 'Common practice: monthly.'
          : 'Common practice: every other month; molecular share by OIV-MA-AS323-04C.',
      })),
    ];
  });

export const ageReached = (view: StageView, clock: StageClock): Happening => ({
  kind: 'age-reached',
  at: view.now,
  words: `The batch has aged for ${duration(clock.doneSeconds)}, the ${duration(clock.ofSeconds)} that were asked for.`,
});

/** Told where a batch leaves its barrel early: a warning, and no refusal, since the maker decides by taste. */
export const drawnEarly = (oldEnoughAt: number, now: number): Happening => ({
  kind: 'drawn-early',
  at: now,
  words: `The batch was moved on or ended ${duration(oldEnoughAt - now)} before the least age that was asked for.`,
});
