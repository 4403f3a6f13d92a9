/**
 * The table of stage limits: what it publishes, where each limit in force comes from, and what a batch may change.
 * Published values are written out here from their sources and not read from the table.
 */
import { describe, expect, test } from 'vitest';
import { stages } from '../../src/monitoring/batch.ts';
import { bandInForce, limitOf, limitsInForce } from '../../src/monitoring/stages/limits.ts';
import { type LimitTemplate, stageTemplates } from '../../src/monitoring/stages/stage-templates.ts';
import { beginWatch, statusOf } from '../../src/monitoring/watch.ts';
import { limitsBody } from '../../src/web/limits-body.ts';
import { batchIn, day, hour, start, vesselOf } from './stages-run.ts';

const everyLimit = stages.flatMap((stage) =>
  Object.entries(stageTemplates[stage]).map(
    ([name, template]): readonly [string, string, LimitTemplate] => [stage, name, template],
  ),
);

describe('the table', () => {
  test.each([
    // FDA Food Code 2009, 3-501.16, .17 and .19; 21 CFR 114.3.
    ['cold-steep', 'highCelsius', 5],
    ['cold-steep', 'coldSeconds', 6 * day],
    ['cold-steep', 'warmSeconds', 4 * hour],
    ['cold-steep', 'coolStartSeconds', 6 * hour],
    ['cold-steep', 'acidPH', 4.6],
    // NIOSH 1994: REL and OSHA PEL, short-term limit, IDLH; 30 CFR 75.321.
    ['workroom', 'workingDayPpm', 5000],
    ['workroom', 'shortTermPpm', 30_000],
    ['workroom', 'dangerousPpm', 40_000],
    ['workroom', 'oxygenFraction', 0.195],
    // Rittenauer et al. 2021: 60 min at 65 °C; H. McGee: top fermentation up to 25 °C.
    ['mash-rest', 'restSeconds', 3600],
    ['cooling', 'pitchCelsius', 25],
  ] as const)('%s, %s', (stage, name, published) => {
    const templates: Readonly<Record<string, LimitTemplate>> = stageTemplates[stage];
    expect(templates[name]?.value).toBe(published);
  });

  test('every limit names its source and lies within the bounds that a batch may set', () => {
    expect(everyLimit.length).toBeGreaterThan(40);
    for (const [stage, name, template] of everyLimit) {
      const where = `${stage} ${name}`;
      expect(template.source.length, where).toBeGreaterThan(9);
      expect(template.lowest, where).toBeLessThan(template.highest);
      for (const value of [template.value, ...Object.values(template.byDrink ?? {})]) {
        if (value === null || value === undefined) continue;
        expect(value, where).toBeGreaterThanOrEqual(template.lowest);
        expect(value, where).toBeLessThanOrEqual(template.highest);
      }
    }
  });
});

describe('what a batch may set', () => {
  const refused = (limits: unknown): boolean => !limitsBody.safeParse(limits).success;

  test('limits that guard people may be stricter, never laxer, and are never off', () => {
    const guards = [
      ['workroom', 'workingDayPpm', 4000, 5001],
      ['workroom', 'shortTermPpm', 15_000, 30_001],
      ['workroom', 'dangerousPpm', 30_000, 40_001],
      ['workroom', 'oxygenFraction', 0.2, 0.194],
      ['cold-steep', 'coldSeconds', 3 * day, 6 * day + 1],
      ['cold-steep', 'warmSeconds', 2 * hour, 4 * hour + 1],
      ['cold-steep', 'coolStartSeconds', 4 * hour, 6 * hour + 1],
      ['cold-steep', 'acidPH', 4.2, 4.7],
    ] as const;
    for (const [stage, name, stricter, laxer] of guards) {
      expect(refused({ [stage]: { [name]: stricter } }), name).toBe(false);
      expect(refused({ [stage]: { [name]: laxer } }), name).toBe(true);
      expect(refused({ [stage]: { [name]: null } }), name).toBe(true);
    }
  });

  test('other limits can be switched off, by null', () => {
    expect(refused({ 'mash-rest': { restSeconds: null } })).toBe(false);
    expect(refused({ ageing: { toppingSeconds: null } })).toBe(false);
  });

  test.each([
    ['an unknown stage', { mashing: {} }],
    ['a limit of another stage', { boil: { restSeconds: 3600 } }],
    ['text for a number', { boil: { boilSeconds: '3600' } }],
    ['a band upside down', { 'mash-rest': { lowCelsius: 70, highCelsius: 65 } }],
    ['an end that passes the other default', { 'mash-rest': { lowCelsius: 69 } }],
    ['one end of a band alone', { keg: { lowCelsius: 2 } }],
  ])('refuses %s', (_, limits) => {
    expect(refused(limits)).toBe(true);
  });
});

describe('what is in force', () => {
  const band = { lowCelsius: 64, highCelsius: 66 };
  const other = { lowCelsius: 50, highCelsius: 55 };

  test('the batch’s own limit, else its band, else that of its vessel, else the default', () => {
    const tun = (temperatureBand: typeof band | null) => vesselOf('mash-tun', { temperatureBand });
    const own = batchIn('mash-rest', 'ale', {
      temperatureBand: band,
      limits: { 'mash-rest': { lowCelsius: 60, highCelsius: 61 } },
    });
    const from = (watched: Parameters<typeof bandInForce>[0]) => [
      bandInForce(watched),
      limitsInForce(watched).find(({ limit }) => limit === 'highCelsius')?.from,
    ];
    expect(from({ vessel: tun(other), batch: own })).toEqual([
      { lowCelsius: 60, highCelsius: 61 },
      'batch',
    ]);
    const { limits: _, ...banded } = own;
    expect(from({ vessel: tun(other), batch: banded })).toEqual([band, 'batch']);
    expect(from({ vessel: tun(other), batch: batchIn('mash-rest') })).toEqual([other, 'vessel']);
    expect(from({ vessel: tun(null), batch: batchIn('mash-rest') })).toEqual([
      { lowCelsius: 62, highCelsius: 68 },
      'default',
    ]);
  });

  test('the drink where it matters', () => {
    const pitch = (drink: 'ale' | 'lager' | 'wine' | 'infusion') =>
      limitOf(
        { vessel: vesselOf('fermenter'), batch: batchIn('cooling', drink) },
        'cooling',
        'pitchCelsius',
      );
    expect([pitch('ale'), pitch('lager'), pitch('wine'), pitch('infusion')]).toEqual([
      25,
      15,
      30,
      null,
    ]);
  });

  test('a boil has no band, whatever the batch names for other stages', () => {
    const watched = {
      vessel: vesselOf('kettle', { temperatureBand: other }),
      batch: batchIn('boil', 'ale', { temperatureBand: band }),
    };
    expect(bandInForce(watched)).toBeNull();
  });

  test('status tells every limit of the stage with its source, and how far its clocks have run', () => {
    const watched = {
      vessel: vesselOf('kettle'),
      batch: batchIn('boil', 'ale', { limits: { boil: { boilSeconds: 5400 } } }),
    };
    const { limits, clocks } = statusOf(watched, beginWatch(watched, start), start + 600);
    expect(limits.map(({ limit }) => limit)).toEqual(Object.keys(stageTemplates.boil));
    expect(limits.find(({ limit }) => limit === 'boilSeconds')).toMatchObject({
      value: 5400,
      unit: 's',
      from: 'batch',
    });
    expect(limits.find(({ limit }) => limit === 'heatUpSeconds')).toMatchObject({
      value: 3600,
      from: 'default',
      source: 'common practice',
    });
    expect(clocks).toEqual([
      { clock: 'boil', doneSeconds: 600, ofSeconds: 5400, dueAt: start + 5400 },
    ]);
  });
});
