/**
 * Writing SenML: RFC 8428 sections 4.4 to 4.6 and RFC 9100 as rules, and the parser as the other
 * half of a round trip. Shapes are held against the resolved pack that section 5.1.4 prints.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import examples from '../../fixtures/standards/senml_examples.json' with { type: 'json' };
import units from '../../fixtures/standards/senml_units.json' with { type: 'json' };
import { channelNames, channels } from '../../src/science/units/channel.ts';
import { readingFaultInWords } from '../../src/wire/reading-fault.ts';
import { readingsOf } from '../../src/wire/readings.ts';
import { parseSenmlJson } from '../../src/wire/senml.ts';
import { senmlFaultInWords } from '../../src/wire/senml-fault.ts';
import type { SenmlFields } from '../../src/wire/senml-fields.ts';
import {
  type SenmlForm,
  senmlPackOf,
  senmlWriteFaultInWords,
  type WritableReading,
} from '../../src/wire/senml-write.ts';

const now = 1_793_512_800;

/** From the first time that SenML can write as absolute to the year 2096. */
const firstTime = 2 ** 28;
const lastTime = 4_000_000_000;

const forms: readonly SenmlForm[] = ['resolved', 'with-base-fields'];

const written = (readings: readonly WritableReading[], form: SenmlForm): readonly SenmlFields[] => {
  const pack = senmlPackOf(readings, form);
  if (!pack.ok) throw new Error(senmlWriteFaultInWords(pack.fault));
  return pack.value;
};

const readBack = (pack: readonly SenmlFields[]): readonly WritableReading[] => {
  const parsed = parseSenmlJson(JSON.stringify(pack), now);
  if (!parsed.ok) throw new Error(senmlFaultInWords(parsed.fault));
  const readings = readingsOf(parsed.value.records, { now: lastTime, earliestTime: firstTime });
  if (!readings.ok) throw new Error(readingFaultInWords(readings.fault));
  return readings.value.map(({ vessel, channel, time, value }) => ({
    vessel,
    channel,
    time,
    value,
  }));
};

/** Whole seconds, thousandths, and times with every bit of a 64-bit float. */
const time = fc.oneof(
  fc.integer({ min: firstTime, max: lastTime }),
  fc.integer({ min: 0, max: 1_000_000 }).map((thousandths) => now - thousandths / 1000),
  fc.double({ min: firstTime, max: lastTime, noNaN: true }),
);
const reading = fc
  .tuple(
    fc.stringMatching(/^[a-z0-9][a-z0-9-]{0,10}$/),
    fc.constantFrom(...channelNames),
    time,
    fc.double({ min: 0, max: 1, noNaN: true }),
  )
  .map(([vessel, channel, at, share]): WritableReading => {
    const { lowest, highest } = channels[channel];
    const value = Math.min(highest, lowest + share * (highest - lowest)) + 0;
    return { vessel, channel, time: at, value };
  });
const someReadings = fc.uniqueArray(reading, {
  minLength: 1,
  maxLength: 30,
  selector: ({ vessel, channel, time: at }) => `${vessel}/${channel}@${at}`,
});

const evening: readonly WritableReading[] = [
  { vessel: 'fv-1', channel: 'temperature', time: now - 120, value: 19.5 },
  { vessel: 'fv-1', channel: 'temperature', time: now - 60, value: 19.6 },
  { vessel: 'keg-2', channel: 'gauge-pressure', time: now - 60, value: 110_000 },
];

describe('a round trip through the parser', () => {
  it.each(forms)('gives back the readings, %s', (form) => {
    let readings = 0;
    fc.assert(
      fc.property(someReadings, (sent) => {
        const expected = sent.toSorted((one, other) => one.time - other.time);
        expect(readBack(written(sent, form))).toEqual(expected);
        readings += sent.length;
      }),
      { numRuns: 300 },
    );
    expect(readings).toBeGreaterThanOrEqual(300);
  });

  it('says the same in both forms', () => {
    fc.assert(
      fc.property(someReadings, (sent) => {
        expect(readBack(written(sent, 'resolved'))).toEqual(
          readBack(written(sent, 'with-base-fields')),
        );
      }),
    );
  });
});

describe('the resolved form, RFC 8428 section 4.6', () => {
  it('has no base values, absolute times and chronological order', () => {
    fc.assert(
      fc.property(someReadings, (sent) => {
        let last = 0;
        for (const record of written(sent, 'resolved')) {
          expect(
            Object.keys(record).filter((label) => label.startsWith('b') && label !== 'bver'),
          ).toEqual([]);
          expect(record.t).toBeGreaterThanOrEqual(2 ** 28);
          expect(record.t).toBeGreaterThanOrEqual(last);
          last = record.t ?? 0;
        }
      }),
    );
  });

  it('has the labels of the printed pack, section 5.1.4', () => {
    const printed = examples.packs.find(({ section }) => section.startsWith('5.1.4'))?.json?.[0];
    const [first] = written(evening, 'resolved');
    expect(Object.keys(first ?? {})).toEqual(Object.keys(printed ?? {}));
  });

  it('gives no version where it is 10', () => {
    expect(written(evening, 'resolved').every(({ bver }) => bver === undefined)).toBe(true);
  });

  it('gives every record the version where it is another', () => {
    const air: WritableReading = {
      vessel: 'room',
      channel: 'carbon-dioxide',
      time: now,
      value: 900,
    };
    expect(written([...evening, air], 'resolved').map(({ bver }) => bver)).toEqual([
      26, 26, 26, 26,
    ]);
  });
});

describe('the version, RFC 9100 section 4', () => {
  it('is 26 for exactly the channels that are stored in a secondary unit (RFC 8798 section 3)', () => {
    let secondary = 0;
    for (const channel of channelNames) {
      const { unit, highest } = channels[channel];
      const isSecondary = unit in units.secondary_rfc8798;
      for (const form of forms) {
        const [first] = written([{ vessel: 'a', channel, time: now, value: highest }], form);
        expect(first?.bver).toBe(isSecondary ? 26 : undefined);
      }
      secondary += isSecondary ? 1 : 0;
    }
    expect(secondary).toBe(1);
  });
});

describe('the form with base fields, RFC 8428 section 4.1', () => {
  it('gives a base field again only where it changes', () => {
    expect(written(evening, 'with-base-fields')).toEqual([
      { bn: 'fv-1/', bu: 'Cel', bt: now - 120, n: 'temperature', v: 19.5 },
      { n: 'temperature', t: 60, v: 19.6 },
      { bn: 'keg-2/', bu: 'Pa', n: 'gauge-pressure', t: 60, v: 110_000 },
    ]);
  });

  it('gives the base time again where a difference would lose bits of the time', () => {
    // Both the difference and its sum with the base lie half-way between two 64-bit floats.
    const early = firstTime + 2 ** -22;
    const late = lastTime + 2 ** -21;
    expect(early + (late - early)).not.toBe(late);
    const at = (time: number): WritableReading => ({
      vessel: 'fv-1',
      channel: 'ph',
      time,
      value: 4,
    });
    expect(written([at(early), at(late)], 'with-base-fields').map(({ bt, t }) => [bt, t])).toEqual([
      [early, undefined],
      [late, undefined],
    ]);
  });

  it('is the shorter one for a run of readings of one sensor', () => {
    const run = Array.from({ length: 15 }, (_, index): WritableReading => {
      return { vessel: 'fv-1', channel: 'temperature', time: now - 60 * index, value: 19.5 };
    });
    const [long, short] = forms.map((form) => JSON.stringify(written(run, form)).length);
    // Measured: 587 of 886 characters, 0.66.
    expect(short).toBeLessThan((long ?? 0) * 0.7);
  });
});

describe('what cannot be written', () => {
  const sound = { vessel: 'fv-1', channel: 'temperature', time: now, value: 20 } as const;

  it.each([
    ['nothing-to-write', []],
    ['vessel-malformed', [sound, { ...sound, vessel: 'FV 1' }]],
    ['value-not-finite', [sound, { ...sound, value: Number.NaN }]],
    ['value-not-finite', [sound, { ...sound, value: Number.POSITIVE_INFINITY }]],
    ['time-not-absolute', [sound, { ...sound, time: 2 ** 28 - 1 }]],
    ['time-not-absolute', [sound, { ...sound, time: Number.NaN }]],
    ['time-not-absolute', [sound, { ...sound, time: Number.POSITIVE_INFINITY }]],
  ])('is refused: %s', (kind, readings) => {
    for (const form of forms) {
      const pack = senmlPackOf(readings, form);
      if (pack.ok) throw new Error('expected a fault');
      expect(pack.fault.kind).toBe(kind);
      if ('reading' in pack.fault) expect(pack.fault.reading).toBe(1);
      expect(senmlWriteFaultInWords(pack.fault)).toMatch(/^[a-z].*; .*[^.]$/);
    }
  });
});
