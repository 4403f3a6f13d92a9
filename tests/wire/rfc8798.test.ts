/**
 * RFC 8798, section by section: which units of the registries are taken for which channel, which are refused, and how.
 * Outside truth: the registries as printed in RFC 8428 section 12.1 and RFC 8798 (fixtures/standards/senml_units.json).
 */
import { describe, expect, it } from 'vitest';
import units from '../../fixtures/standards/senml_units.json' with { type: 'json' };
import { type Channel, channelNames, channels } from '../../src/science/units/channel.ts';
import { type ReadingFault, readingFaultInWords } from '../../src/wire/reading-fault.ts';
import { readingsOf } from '../../src/wire/readings.ts';
import { parseSenml } from '../../src/wire/senml.ts';

const now = 1_900_000_000;

type Outcome = { readonly value: number } | { readonly fault: ReadingFault };

const sent = (channel: Channel, u: string, v: number, bver?: number): Outcome => {
  const pack = parseSenml(
    [{ n: `keg-1/${channel}`, u, v, ...(bver === undefined ? {} : { bver }) }],
    now,
  );
  if (!pack.ok) throw new Error(pack.fault.kind);
  const readings = readingsOf(pack.value.records, { now });
  if (!readings.ok) return { fault: readings.fault };
  const [reading] = readings.value;
  if (reading === undefined) throw new Error('no reading');
  return { value: reading.value };
};

const secondary: Readonly<Record<string, readonly (string | number)[]>> = units.secondary_rfc8798;
const everyUnit = [
  ...units.primary_rfc8428.map(([symbol]) => String(symbol)),
  ...units.primary_rfc8798_extra,
  ...Object.keys(secondary),
];

/** A value in the stored unit that every channel can have. */
const ordinary: Readonly<Record<Channel, number>> = {
  temperature: 19,
  gravity: 1.05,
  density: 1010,
  'gauge-pressure': 1000,
  'absolute-pressure': 101_000,
  'gas-flow': 0.001,
  ph: 4.5,
  'carbon-dioxide': 900,
  oxygen: 0.2,
  humidity: 60,
  mass: 19,
};

/** What is taken, by channel: the first is stored, and the factor is what one of the unit is in it. */
const taken: Readonly<Record<Channel, Readonly<Record<string, number>>>> = {
  temperature: { Cel: 1, K: 1 },
  gravity: { '/': 1, '/1000': 1e-3 },
  density: { 'kg/m3': 1 },
  'gauge-pressure': { Pa: 1, hPa: 100 },
  'absolute-pressure': { Pa: 1, hPa: 100 },
  'gas-flow': { 'm3/s': 1, 'l/s': 1e-3 },
  ph: { pH: 1 },
  'carbon-dioxide': { ppm: 1, '/': 1e6, '/100': 1e4, '/1000': 1e3 },
  oxygen: { '/': 1, '/100': 1e-2, '/1000': 1e-3, ppm: 1e-6 },
  humidity: { '%RH': 1 },
  mass: { kg: 1, g: 1e-3 },
};

describe('section 2: new primary units', () => {
  it('takes kg/m3 for density, and no other of the eight for anything', () => {
    const used = new Set(channelNames.flatMap((channel) => Object.keys(taken[channel])));
    expect(units.primary_rfc8798_extra.filter((symbol) => used.has(symbol))).toEqual(['kg/m3']);
    expect(sent('density', 'kg/m3', 1010)).toEqual({ value: 1010 });
  });
});

describe('section 3: secondary units', () => {
  it('takes those in which a channel is measured: hPa, /100, /1000 and ppm', () => {
    const used = new Set(channelNames.flatMap((channel) => Object.keys(taken[channel])));
    expect(
      Object.keys(secondary)
        .filter((symbol) => used.has(symbol))
        .sort(),
    ).toEqual(['/100', '/1000', 'hPa', 'ppm'].sort());
  });

  it('refuses those that derive from the unit of a channel but in which none measures it', () => {
    const primary = new Set(channelNames.flatMap((channel) => Object.keys(taken[channel])));
    const derived = Object.entries(secondary).filter(([, [from]]) => primary.has(String(from)));
    const refused = derived
      .map(([symbol]) => symbol)
      .filter((symbol) => !channelNames.some((channel) => Object.hasOwn(taken[channel], symbol)));
    // Fractions and densities that no sensor of a cellar resolves.
    expect(refused).toEqual(['ug/m3']);
  });

  it('"value in the primary unit = value × scale + offset", for each that is taken', () => {
    let compared = 0;
    for (const channel of channelNames) {
      for (const [unit, factor] of Object.entries(taken[channel])) {
        const value = unit === 'K' ? ordinary[channel] + 273.15 : ordinary[channel] / factor;
        const outcome = sent(channel, unit, value);
        expect({ channel, unit, outcome }).toEqual({
          channel,
          unit,
          outcome: { value: expect.closeTo(ordinary[channel], 9) },
        });
        compared += 1;
      }
    }
    expect(compared).toBe(23);
  });

  it('section 3, and RFC 9100 section 4: takes them in version 26, and without a word of it too', () => {
    for (const bver of [26, 10, undefined])
      expect(sent('gauge-pressure', 'hPa', 10, bver)).toEqual({ value: 1000 });
  });
});

describe('every unit of both registries, for every channel', () => {
  it('is either taken or refused by name, with those that are taken', () => {
    let [good, bad] = [0, 0];
    for (const channel of channelNames) {
      for (const unit of new Set(everyUnit)) {
        if (Object.hasOwn(taken[channel], unit)) {
          good += 1;
          continue;
        }
        const outcome = sent(channel, unit, ordinary[channel]);
        if (!('fault' in outcome)) throw new Error(`${channel} was taken in ${unit}`);
        expect(outcome.fault.kind).toBe(unit === '%' ? 'percent-sign' : 'unit-not-accepted');
        const words = readingFaultInWords(outcome.fault);
        expect(words).toContain(JSON.stringify(unit));
        expect(words).toContain(channels[channel].unit);
        bad += 1;
      }
    }
    expect(good).toBe(23);
    expect(bad).toBe(channelNames.length * new Set(everyUnit).size - 23);
    expect(bad).toBeGreaterThan(1000);
  });

  it('symbols are case-sensitive, and those of the trade are none of them', () => {
    for (const [channel, unit] of [
      ['temperature', 'cel'],
      ['temperature', '°C'],
      ['temperature', 'degF'],
      ['gravity', 'SG'],
      ['gravity', 'degP'],
      ['gauge-pressure', 'bar'],
      ['gauge-pressure', 'psi'],
      ['gauge-pressure', 'PA'],
      ['mass', 'KG'],
    ] as const)
      expect(sent(channel, unit, ordinary[channel])).toMatchObject({
        fault: { kind: 'unit-not-accepted' },
      });
  });
});
