/** The pages of the calculations: a form for each, an answer without a script, each figure with its source. */
import { beforeEach, describe, expect, test } from 'vitest';
import { app } from '../../src/web/app.ts';
import { exampleQuery } from '../../src/web/calculations/shown.ts';
import { calculationNamed, calculations } from '../../src/web/calculations/table.ts';
import { ask, beginning, cellarWithAle, setClock, testEnv } from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const page = async (
  path: string,
  query: Record<string, string> | string = '',
): Promise<{ readonly status: number; readonly html: string }> => {
  const text = typeof query === 'string' ? query : new URLSearchParams(query).toString();
  const answer = await app.request(
    `/calculations${path}${text === '' ? '' : `?${text}`}`,
    {},
    testEnv,
  );
  return { status: answer.status, html: (await answer.text()).replaceAll('\u00a0', ' ') };
};

const answerIn = (html: string): string => html.slice(html.indexOf('id="answer"'));

const keg = {
  vesselVolumeLitre: '50',
  headspaceLitre: '2.5',
  ratedGaugePressureBar: '3',
  temperatureCelsius: '4',
  warmestCelsius: '25',
  carbonDioxideVolumes: '2.3',
  fermentableGramPerLitre: '18',
  yeast: 'present',
};

describe('the index', () => {
  test('lists every calculation without a key, and leads to each', async () => {
    const { status, html } = await page('');
    expect(status).toBe(200);
    for (const { name, title } of calculations) {
      expect(html).toContain(`href="/calculations/${name}"`);
      expect(html).toContain(title);
    }
    expect(html).toContain('href="/sign-in"');
  });

  test('keeps the cellar in the masthead for whoever is signed in', async () => {
    const { cellar, key } = await cellarWithAle();
    const signedIn = await ask('/sign-in', {
      method: 'POST',
      headers: {
        origin: 'http://cellar.test',
        'content-type': 'application/x-www-form-urlencoded',
      },
      body: new URLSearchParams({ key }).toString(),
    });
    const cookie = signedIn.headers.get('set-cookie')?.split(';')[0] ?? '';
    const html = await (await ask('/calculations', { headers: { cookie } })).text();
    expect(html).toContain(`href="/cellars/${cellar}/alarms"`);
    expect(html).toContain('aria-current="page">Calculations');
  });
});

describe('each calculation', () => {
  test.each(calculations.map((one) => [one.name, one] as const))(
    '%s has a form for all its fields, and answers its own example with sources',
    async (name, one) => {
      const blank = await page(`/${name}`);
      expect(blank.status).toBe(200);
      expect(blank.html).toContain('Fill in what you know');
      const filled = await page(`/${name}`, exampleQuery(one.inputs));
      expect(filled.status).toBe(200);
      const answer = answerIn(filled.html);
      for (const figure of Object.values(one.answers))
        if (figure.kind === 'table') expect(answer).toContain(`<caption>${figure.label}</caption>`);
      const opened = answer.match(/<details class="(?:figure-line|rests-on)/g) ?? [];
      const sourced = answer.match(/<ul class="sources"><li>/g) ?? [];
      expect(opened.length).toBeGreaterThan(0);
      expect(sourced.length).toBe(opened.length);
      if (one.caution !== undefined) expect(answer).toContain('<strong>Caution</strong>');
      expect(answer).toContain(`POST /v1/calculations/${name}`);
      expect(filled.html).not.toMatch(/NaN|Infinity|undefined|\[object/);
    },
  );

  test('there is none by another name', async () => {
    expect((await page('/priming')).status).toBe(404);
  });
});

describe('what is typed', () => {
  test('is answered in the units of the trade, with the verdict in words', async () => {
    const { status, html } = await page('/closed-vessel', keg);
    expect(status).toBe(200);
    expect(answerIn(html)).toContain('Too much if it referments');
    expect(answerIn(html)).toMatch(
      /If it referments, at most<\/span><span class="figure-value">8\.\d\d bar/,
    );
    expect(html).toContain('value="2.3"');
  });

  test.each([
    ['a decimal comma', { ...keg, headspaceLitre: '2,5' }],
    ['a unit after the number', { ...keg, ratedGaugePressureBar: '43.5113214 psi' }],
    [
      'a unit without its degree sign',
      { ...keg, warmestCelsius: '77F', temperatureCelsius: '39.2 f' },
    ],
    ['litres said in hectolitres', { ...keg, vesselVolumeLitre: '0.5 hL' }],
  ])('with %s gives the same answer', async (_what, typed) => {
    const plain = answerIn((await page('/closed-vessel', keg)).html);
    expect(answerIn((await page('/closed-vessel', typed)).html)).toBe(plain);
  });

  test('with extract in place of gravity gives the same alcohol', async () => {
    const { html } = await page('/alcohol', { originalGravity: '12 P', presentGravity: '2.5°P' });
    // Balling's first worked drink: 4.01 mass %.
    expect(answerIn(html)).toContain('4.01 mass %');
  });

  test('and is no number, or missing, comes back as typed with a sentence at its field', async () => {
    const { status, html } = await page('/closed-vessel', {
      ...keg,
      headspaceLitre: 'a <little>',
      warmestCelsius: '',
    });
    expect(status).toBe(422);
    expect(html).toContain('value="a &lt;little&gt;"');
    expect(html).toContain('href="#closed-vessel-headspaceLitre"');
    expect(html).toContain('Warmest temperature is missing; type a number, in °C');
    expect(html).toMatch(/id="closed-vessel-headspaceLitre"[^>]*aria-invalid="true"/);
  });

  test('and is out of range is refused in the unit it was typed in', async () => {
    const { status, html } = await page('/closed-vessel', { ...keg, ratedGaugePressureBar: '30' });
    expect(status).toBe(422);
    expect(html).toContain('Rated gauge pressure is 30 bar, outside the range of 0.01 to 20 bar');
  });

  test('and is no unit of its quantity says which are', async () => {
    const { html } = await page('/closed-vessel', { ...keg, headspaceLitre: '2 psi' });
    expect(html).toMatch(/carries “psi”, which is no unit of it; use L, mL, hL/);
  });

  test('as a choice that there is not is refused, not taken for another', async () => {
    const { status, html } = await page('/closed-vessel', { ...keg, yeast: 'asleep' });
    expect(status).toBe(422);
    expect(html).toContain('must be one of present, removed');
  });
});

describe('rows of a list', () => {
  const row = (index: number, name: string, litre: string) => ({
    [`components.${index}.name`]: name,
    [`components.${index}.litre`]: litre,
    [`components.${index}.alcoholByVolumePercent`]: '0',
    [`components.${index}.extractGramPerLitre`]: '0',
  });

  test('that are blank are passed over, wherever they stand', async () => {
    const { status, html } = await page('/blend', {
      ...row(0, '', ''),
      'components.0.alcoholByVolumePercent': '',
      'components.0.extractGramPerLitre': ' ',
      ...row(1, 'Water', '7'),
      ...row(3, 'Water too', '5'),
    });
    expect(status).toBe(200);
    expect(answerIn(html)).toContain('12.00 L');
    // Four were filled up to the last, so a fifth is offered.
    expect(html).toContain('name="components.4.litre"');
    expect(html).not.toContain('name="components.5.litre"');
  });

  test('that are at fault are named as they stand in the form', async () => {
    const { status, html } = await page('/blend', {
      ...row(1, 'Water', '7'),
      ...row(3, 'Spirit', '5'),
      'components.3.alcoholByVolumePercent': '120',
    });
    expect(status).toBe(422);
    expect(html).toContain('href="#blend-components.3.alcoholByVolumePercent"');
    expect(html).toContain(
      'Component 4, Alcohol is 120 % vol, outside the range of 0 to 100 % vol',
    );
  });

  test('must hold at least what the calculation needs', async () => {
    const { status, html } = await page('/blend', { vesselVolumeLitre: '50' });
    expect(status).toBe(422);
    expect(html).toContain('Components: too few are filled in');
  });

  test('show a name as text, whatever it holds', async () => {
    const name = '<script>alert(1)</script>';
    const { html } = await page('/scale-up', {
      wantedLitre: '10',
      vesselVolumeLitre: '20',
      headspaceLitre: '1',
      'lines.0.name': name,
      'lines.0.trialMillilitre': '100',
      'lines.0.alcoholByVolumePercent': '5',
      'lines.0.extractGramPerLitre': '40',
    });
    expect(answerIn(html)).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(html).not.toContain(name);
  });
});

test('the list describes each body by JSON Schema, with units, and each figure by its sources', async () => {
  const { calculations: listed } = await (await app.request('/v1/calculations', {}, testEnv)).json<{
    calculations: readonly {
      readonly name: string;
      readonly page: string;
      readonly body: {
        readonly type: string;
        readonly additionalProperties: boolean;
        readonly required: readonly string[];
        readonly properties: Readonly<
          Record<string, { readonly title: string; readonly unit?: string }>
        >;
      };
      readonly results: Readonly<
        Record<string, { readonly label: string; readonly unit?: string }>
      >;
      readonly sources: readonly { readonly figures: readonly string[] }[];
    }[];
  }>();
  expect(listed).toHaveLength(33);
  for (const { name, body, results, sources, page: address } of listed) {
    expect(calculationNamed(name)?.title).toBeDefined();
    expect(address).toBe(`/calculations/${name}`);
    expect(body).toMatchObject({ type: 'object', additionalProperties: false });
    expect(Object.values(body.properties).every(({ title }) => title.length > 1)).toBe(true);
    const sourced = new Set(sources.flatMap(({ figures }) => figures));
    expect([...sourced].toSorted()).toEqual(Object.keys(results).toSorted());
  }
  const vessel = listed.find(({ name }) => name === 'closed-vessel');
  expect(vessel?.body.required).toEqual([
    'vesselVolumeLitre',
    'headspaceLitre',
    'temperatureCelsius',
    'warmestCelsius',
    'fermentableGramPerLitre',
  ]);
  expect(vessel?.body.properties.ratedGaugePressurePascal?.unit).toBe('Pa');
  expect(vessel?.results.gaugePressureGreatestPascal?.unit).toBe('Pa');
});
