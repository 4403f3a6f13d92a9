/**
 * Anything that arrives is either records or a fault: nothing is thrown, and no number that leaves
 * is NaN or infinite. RFC 8428 section 13 (security considerations): a receiver meets packs that
 * were made to break it.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../src/result.ts';
import { readingFaultInWords } from '../../src/wire/reading-fault.ts';
import { readingsOf } from '../../src/wire/readings.ts';
import { parseSenml, parseSenmlJson, type SenmlPack } from '../../src/wire/senml.ts';
import { type SenmlFault, senmlFaultInWords } from '../../src/wire/senml-fault.ts';

const now = 1_700_000_000;

const name = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

/** What must hold of every answer; returns whether the pack was taken. */
const isSound = (parsed: Result<SenmlPack, SenmlFault>): boolean => {
  if (!parsed.ok) {
    const words = senmlFaultInWords(parsed.fault);
    expect(words.length).toBeLessThan(400);
    expect(words).toBe(words.toWellFormed());
    expect(words).not.toMatch(/(?<!of type )undefined|\[object|\p{Cc}/u);
    return false;
  }
  let last = Number.NEGATIVE_INFINITY;
  for (const { name: own, timeSeconds, sum, value, updateTimeSeconds } of parsed.value.records) {
    expect(own).toMatch(name);
    expect(timeSeconds).toBeGreaterThanOrEqual(last);
    last = timeSeconds;
    const numbers = [timeSeconds, sum ?? 0, updateTimeSeconds ?? 0];
    if (value?.kind === 'number') numbers.push(value.number);
    expect(numbers.every(Number.isFinite)).toBe(true);
    expect(value !== null || sum !== null).toBe(true);
  }
  const readings = readingsOf(parsed.value.records, { now });
  if (readings.ok) {
    for (const { time, value } of readings.value) {
      expect(Number.isFinite(time) && Number.isFinite(value)).toBe(true);
    }
  } else {
    const words = readingFaultInWords(readings.fault);
    expect(words.length).toBeLessThan(600);
    expect(words).not.toMatch(/undefined|NaN|\[object|\p{Cc}/u);
  }
  return true;
};

const anyText = fc.string({ unit: 'binary' });
const oddNumber = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, -0, 5e-324, 2 ** 28, 2 ** 53, 1.7e308, -1.7e308, now),
  fc.integer({ min: -1000, max: 1000 }),
);
const someName = fc.oneof(
  anyText,
  fc.constantFrom('fv-1/temperature', 'fv-1/gravity', 'fv-1/', 'temperature', 'keg-2/pressure'),
);
const someUnit = fc.oneof(anyText, fc.constantFrom('Cel', '/', 'Pa', '%', '__proto__'));

/** Records that are near enough to sound ones to come far into the parser. */
const nearRecord = fc.record(
  {
    bn: someName,
    bt: oddNumber,
    bu: someUnit,
    bv: oddNumber,
    bs: oddNumber,
    bver: fc.constantFrom(10, 26, 5, 11),
    n: someName,
    u: someUnit,
    v: oddNumber,
    vs: anyText,
    vb: fc.boolean(),
    vd: anyText,
    s: oddNumber,
    t: oddNumber,
    ut: oddNumber,
    extra: fc.jsonValue(),
  },
  { requiredKeys: [] },
);

/** Sound by construction, so that the fuzz is known to reach the other arm too. */
const soundRecord = fc.record(
  {
    n: fc.constantFrom('fv-1/temperature', 'fv-1/gravity', 'keg-2/ph'),
    v: oddNumber.map((value) => value / 2),
    u: fc.constantFrom('Cel', '/', 'pH'),
    t: fc.integer({ min: -(2 ** 27), max: 2 ** 27 }),
  },
  { requiredKeys: ['n', 'v'] },
);

describe('fuzz', () => {
  it('takes any text', () => {
    fc.assert(fc.property(anyText, (text) => void isSound(parseSenmlJson(text, now))));
  });

  it('takes any JSON', () => {
    fc.assert(fc.property(fc.json(), (text) => void isSound(parseSenmlJson(text, now))));
  });

  it('takes any value that JavaScript has', () => {
    const anything = fc.anything({ withBigInt: true, withNullPrototype: true, withDate: true });
    fc.assert(fc.property(anything, (value) => void isSound(parseSenml(value, now))));
    fc.assert(fc.property(fc.array(anything), (value) => void isSound(parseSenml(value, now))));
  });

  it('takes records that are nearly sound', () => {
    fc.assert(
      fc.property(fc.array(nearRecord, { maxLength: 6 }), (pack) => {
        isSound(parseSenml(pack, now));
        isSound(parseSenmlJson(JSON.stringify(pack), now));
      }),
      { numRuns: 500 },
    );
  });

  it('takes sound records, and takes all of them', () => {
    let records = 0;
    fc.assert(
      fc.property(fc.array(soundRecord, { minLength: 1, maxLength: 6 }), (pack) => {
        const parsed = parseSenml(pack, now);
        expect(isSound(parsed)).toBe(true);
        if (parsed.ok) expect(parsed.value.records).toHaveLength(pack.length);
        records += pack.length;
      }),
    );
    expect(records).toBeGreaterThanOrEqual(100);
  });

  it('is not changed by writing the pack as text', () => {
    fc.assert(
      fc.property(fc.array(soundRecord, { minLength: 1 }), (pack) => {
        expect(parseSenmlJson(JSON.stringify(pack), now)).toEqual(parseSenml(pack, now));
      }),
    );
  });

  it('shifts every relative time with now, and no absolute one', () => {
    const shift = 3600;
    fc.assert(
      fc.property(fc.integer({ min: -1e6, max: 1e6 }), (t) => {
        const pack = [
          { n: 'a', v: 1, t },
          { n: 'b', v: 1, t: now + t },
        ];
        const timesAt = (when: number): ReadonlyMap<string, number> => {
          const parsed = parseSenml(pack, when);
          if (!parsed.ok) throw new Error(senmlFaultInWords(parsed.fault));
          return new Map(parsed.value.records.map((record) => [record.name, record.timeSeconds]));
        };
        const before = timesAt(now);
        const after = timesAt(now + shift);
        expect(after.get('a')).toBe((before.get('a') ?? 0) + shift);
        expect(after.get('b')).toBe(before.get('b'));
      }),
    );
  });
});

describe('made to break', () => {
  it('survives deep nesting, wherever it stands', () => {
    const deep = '['.repeat(200_000) + ']'.repeat(200_000);
    expect(isSound(parseSenmlJson(deep, now))).toBe(false);
    expect(isSound(parseSenmlJson(`[{"n":${deep}}]`, now))).toBe(false);
    expect(isSound(parseSenmlJson(`[{"n":"a","v":1,"x":${deep}}]`, now))).toBe(true);
    expect(isSound(parseSenmlJson('{"a":'.repeat(200_000), now))).toBe(false);
  });

  it.each(['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty', 'valueOf'])(
    'takes %s for a label like any other',
    (label) => {
      const text = `[{"n":"a","v":1,${JSON.stringify(label)}:{"v":2,"polluted":true}}]`;
      isSound(parseSenmlJson(text, now));
      expect(({} as { polluted?: unknown }).polluted).toBeUndefined();
    },
  );

  it.each(['__proto__', 'constructor', 'toString'])(
    'takes %s for no channel and no unit',
    (word) => {
      expect(isSound(parseSenml([{ n: `fv-1/${word}`, u: 'Cel', v: 1 }], now))).toBe(true);
      expect(isSound(parseSenml([{ n: 'fv-1/temperature', u: word, v: 1 }], now))).toBe(true);
    },
  );

  it('survives lone surrogates in every string', () => {
    for (const lone of ['"\\ud800"', '"\\udc00"', '"a\\udfffb"']) {
      for (const label of ['bn', 'bu', 'n', 'u', 'vs', 'vd', 'x', 'x_']) {
        isSound(parseSenmlJson(`[{"n":"a","v":1,"${label}":${lone}}]`, now));
      }
      isSound(parseSenmlJson(`[{${lone}:1}]`, now));
      isSound(parseSenmlJson(`[{${lone.slice(0, -1)}_":1}]`, now));
    }
  });

  it('survives numbers at the edges', () => {
    const edges = [
      '1e400',
      '-1e400',
      '5e-325',
      '1.7976931348623157e308',
      '-0',
      `1${'0'.repeat(400)}`,
    ];
    for (const edge of edges) {
      for (const label of ['bt', 'bv', 'bs', 'bver', 'v', 's', 't', 'ut']) {
        isSound(parseSenmlJson(`[{"bn":"a","v":1,"${label}":${edge}}]`, now));
      }
    }
  });

  it('does not follow a now that is no number', () => {
    expect(parseSenml([{ n: 'a', v: 1 }], Number.NaN)).toMatchObject({
      fault: { kind: 'not-finite', field: 't' },
    });
  });
});
