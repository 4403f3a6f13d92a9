/**
 * The page on which a batch's limits are set. Held against the table of stages: a limit that guards
 * people can be made stricter and never laxer (29 CFR 1910.1000 and 30 CFR 75.321 for a workroom,
 * FDA Food Code 2009, 3-501.17 and 3-501.19 for a steep), and what was typed is kept in SI.
 */
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import { type LimitTemplate, stageTemplates } from '../../src/monitoring/stages/stage-templates.ts';
import { limitUnit, typedLimit } from '../../src/web/limit-unit.ts';
import { limitsFromForm } from '../../src/web/limits-from-form.ts';
import { beginning, cellarWithAle, setClock } from './cellar-fixture.ts';
import { browserOf } from './page-browser.ts';

beforeEach(() => setClock(beginning));

const opened = async () => {
  const keeper = await cellarWithAle();
  const address = `/cellars/${keeper.cellar}/batches/haymaker-12/limits`;
  return {
    browser: await browserOf(keeper.key),
    address,
    keeper,
    own: async (): Promise<unknown> => {
      const answer = await keeper.get('/batches/haymaker-12');
      return (await answer.json<{ batch: { limits?: unknown } }>()).batch.limits;
    },
  };
};

describe('the limits of a batch', () => {
  test('are shown with default, source and bounds in units of the trade', async () => {
    const { browser, address } = await opened();
    const text = await (await browser.get(`${address}?stage=cold-steep`)).text();
    expect(text).toContain('Food safety: above 5 °C at most, hours');
    expect(text).toContain('FDA Food Code 2009, 3-501.19');
    expect(text).toContain('Default 4 hours');
    expect(text).toMatch(/between 1 min and 4 h/);
  });

  test('are kept in SI, beside those of other stages, and a blank field takes them back', async () => {
    const { browser, address, own, keeper } = await opened();
    const answer = await browser.submit(`${address}?stage=fermentation`, {
      pitchCelsius: '21,5',
      ventedGaugePressurePascal: '0.25',
      'ventRisePascal-off': 'yes',
    });
    expect(answer.headers.get('location')).toBe(`/cellars/${keeper.cellar}/vessels/fermenter-1`);
    await browser.submit(`${address}?stage=ageing`, { toppingSeconds: '14' });
    expect(await own()).toEqual({
      fermentation: { pitchCelsius: 21.5, ventedGaugePressurePascal: 25_000, ventRisePascal: null },
      ageing: { toppingSeconds: 14 * 86_400 },
    });
    const shown = await (await browser.get(address)).text();
    expect(shown).toMatch(/name="ventedGaugePressurePascal"[^>]*value="0.25"/);
    expect(shown).toMatch(/name="ventRisePascal-off"[^>]*checked/);
    await browser.submit(`${address}?stage=fermentation`, { pitchCelsius: '' });
    expect(await own()).toEqual({ fermentation: {}, ageing: { toppingSeconds: 14 * 86_400 } });
  });

  test.each([
    ['workroom', 'dangerousPpm', '50000', 'between 10000 and 40000 ppm'],
    ['workroom', 'oxygenFraction', '18', 'between 19.5 and 20.5 %'],
    ['cold-steep', 'coldSeconds', '9', 'and 6 days'],
    ['fermentation', 'pitchCelsius', 'warm', 'must be a number'],
    ['fermentation', 'lowCelsius', '30', 'must be given as well: a band has two ends'],
  ])('of %s: %s refuses %s and keeps what was typed', async (stage, field, value, words) => {
    const { browser, address, own } = await opened();
    const answer = await browser.submit(`${address}?stage=${stage}`, { [field]: value });
    expect(answer.status).toBe(422);
    const text = await answer.text();
    expect(text).toContain(words);
    expect(text).toMatch(new RegExp(`name="${field}"[^>]*value="${value}"`));
    expect(await own()).toBeUndefined();
  });

  test('that guard people cannot be switched off', () => {
    expect(limitsFromForm('workroom', { 'dangerousPpm-off': 'yes' })).toEqual({});
  });

  test('of a stage that does not exist are refused by name', async () => {
    const { browser, address } = await opened();
    const answer = await browser.get(`${address}?stage=lagering`);
    expect(answer.status).toBe(422);
    expect(await answer.text()).toContain('lagering');
  });

  test('are no business of a viewer', async () => {
    const { keeper, address } = await opened();
    const made = await keeper.post('/keys', { title: 'Maren', role: 'viewer' });
    const viewer = await browserOf((await made.json<{ key: string }>()).key);
    expect((await viewer.get(address)).status).toBe(403);
    expect((await viewer.submit(address, { pitchCelsius: '20' })).status).toBe(403);
    const vessel = `/cellars/${keeper.cellar}/vessels/fermenter-1`;
    expect(await (await viewer.get(vessel)).text()).not.toContain('/limits');
  });
});

test('what is shown of a limit, typed again, gives the same limit: any value of every limit', () => {
  const limits = Object.entries(stageTemplates).flatMap(([stage, templates]) =>
    Object.entries(templates as Readonly<Record<string, LimitTemplate>>).map(
      ([name, template]) => ({ stage: stage as keyof typeof stageTemplates, name, template }),
    ),
  );
  expect(limits.length).toBeGreaterThan(40);
  fc.assert(
    fc.property(
      fc.constantFrom(...limits),
      fc.double({ min: 0, max: 1, noNaN: true }),
      ({ stage, name, template }, part) => {
        const value = template.lowest + part * (template.highest - template.lowest);
        const typed = typedLimit(value, limitUnit(template));
        const read = limitsFromForm(stage, { [name]: typed })[name];
        // A limit of time is kept in whole seconds.
        const nearest = template.unit === 's' ? 0.51 : 1e-9 * template.highest;
        expect(Math.abs((read ?? Number.NaN) - value)).toBeLessThanOrEqual(nearest);
      },
    ),
  );
});
