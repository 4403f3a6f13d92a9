/** The torture's checkers against stores and histories that are wrong in one way each. */
import { expect, test } from 'vitest';
import {
  alarmsHold,
  compareAlarms,
  type HistoryStep,
} from '../../src/host/torture/compare-alarms.ts';
import { compareReadings, readingsHold } from '../../src/host/torture/compare-readings.ts';
import type { WritableReading } from '../../src/wire/senml-write.ts';

const reading = (time: number, value = 19): WritableReading => ({
  vessel: 'keg-7',
  channel: 'temperature',
  time,
  value,
});
const packs = [
  { readings: [reading(1), reading(2)], acknowledged: true },
  { readings: [reading(3)], acknowledged: false },
];

test.each([
  ['all that was acknowledged', [reading(1), reading(2)], {}],
  ['what was not acknowledged as well', [reading(1), reading(2), reading(3)], {}],
  ['one reading too few', [reading(2), reading(3)], { missing: 1 }],
  ['one reading twice', [reading(1), reading(2), reading(2)], { twice: 1 }],
  ['another value', [reading(1), reading(2, 20)], { altered: 1 }],
  ['a reading that nobody sent', [reading(1), reading(2), reading(4)], { foreign: 1 }],
] as const)('a store that holds %s', (_, stored, wrong) => {
  const none = { missing: 0, twice: 0, altered: 0, foreign: 0 };
  const findings = compareReadings(packs, stored);
  expect(findings).toMatchObject({ acknowledged: 2, unacknowledged: 1, ...none, ...wrong });
  expect(readingsHold(findings)).toBe(Object.keys(wrong).length === 0);
});

test('a run in which nothing was acknowledged proves nothing', () => {
  expect(readingsHold(compareReadings([], []))).toBe(false);
  expect(alarmsHold(compareAlarms([], [], new Set(), new Map()))).toBe(false);
});

const due = [{ vessel: 'keg-7', kind: 'over-pressure' }] as const;
const raised: HistoryStep = {
  id: 'news_1',
  vessel: 'keg-7',
  alarm: 'over-pressure',
  kind: 'over-pressure',
  occurrence: 1,
  transition: 'raised',
};

test.each([
  ['raised and delivered, though three times', [raised], [['news_1', 3]], {}],
  ['not raised', [], [], { notRaised: 1 }],
  [
    'raised twice for one occurrence',
    [raised, { ...raised, id: 'news_2' }],
    [
      ['news_1', 1],
      ['news_2', 1],
    ],
    { raisedTwice: 2 },
  ],
  ['not delivered', [raised], [], { notDelivered: 1 }],
  [
    'delivered under another id as well',
    [raised],
    [
      ['news_1', 1],
      ['news_9', 1],
    ],
    { deliveredUnknown: 1 },
  ],
] as const)('an alarm that was %s', (_, history, delivered, wrong) => {
  const none = { notRaised: 0, raisedTwice: 0, notDelivered: 0, deliveredUnknown: 0 };
  const ids = new Set(history.map(({ id }) => id));
  const findings = compareAlarms(due, history, ids, new Map(delivered));
  expect(findings).toMatchObject({ due: 1, ...none, ...wrong });
  expect(alarmsHold(findings)).toBe(Object.keys(wrong).length === 0);
});
