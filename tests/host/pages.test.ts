/**
 * The pages as HTML. Held against: the escaping rules of HTML, a content security policy without
 * 'unsafe-inline', WCAG 2.2 (1.4.1 use of colour, 1.4.3 and 1.4.11 contrast, 4.1.2 names), RFC 9110
 * (ETag, 304) and the design's own budget for what the cellar page fetches.
 */
import { readFile } from 'node:fs/promises';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { buildClient } from '../../src/host/build.ts';
import type { AlarmState, Priority } from '../../src/monitoring/alarms/alarm.ts';
import { stages } from '../../src/monitoring/batch.ts';
import { alarmStateWords, alarmWords, priorityWords } from '../../src/web/messages.ts';
import { headline } from '../../src/web/pages/headline.ts';
import { channelText, numberText } from '../../src/web/pages/quantity.ts';
import { inOrderOfNeed } from '../../src/web/pages/urgency.ts';
import {
  now,
  sampleAlarm,
  sampleBatch,
  sampleReading,
  sampleStatus,
  sampleVessel,
  visit,
} from './page-samples.ts';

/** The pages import what the build writes, so they are loaded after it. */
const loadPages = async () => {
  const [cellar, vessel, alarms, setUp, error, signIn, assets] = await Promise.all([
    import('../../src/web/pages/cellar.tsx'),
    import('../../src/web/pages/vessel.tsx'),
    import('../../src/web/pages/alarms.tsx'),
    import('../../src/web/pages/set-up.tsx'),
    import('../../src/web/pages/error.tsx'),
    import('../../src/web/pages/sign-in.tsx'),
    import('../../src/web/assets.ts'),
  ]);
  return { ...cellar, ...vessel, ...alarms, ...setUp, ...error, ...signIn, ...assets };
};

let pages: Awaited<ReturnType<typeof loadPages>>;

beforeAll(async () => {
  await buildClient();
  pages = await loadPages();
});

const html = async (page: unknown): Promise<string> => String(await page);

const rowOf = (text: string) => ({
  vessel: sampleVessel({ title: text }),
  batch: sampleBatch({ title: text }),
  status: sampleStatus({
    alarms: [
      sampleAlarm({
        evidence: text,
        likelyCauses: [text],
        checkFirst: [text],
        caution: text,
        note: text,
        acknowledgedBy: text,
        acknowledgedAt: now,
      }),
    ],
    cautions: [`${text} beside`],
    fermentation: {
      phase: 'active',
      presentGravity: 1.0189,
      presentExtractPlato: 4.8,
      apparentAttenuation: 0.6,
      realAttenuation: 0.5,
      alcoholByVolumePercent: 3.9,
      terminalGravity: { value: 1.011, low: 1.009, high: 1.013 },
      finishAt: { value: now + 9000, low: now + 3600, high: now + 90_000 },
      basis: text,
    },
    pressure: {
      gaugePressurePascal: 12_000,
      equilibriumGaugePressurePascal: 14_000,
      carbonationVolumes: 1.02,
      shareOfRating: 0.12,
      crossingAt: { value: now + 9000, low: now + 3600, high: now + 90_000 },
      basis: text,
    },
  }),
});

/** Every page, with one text in every place where a person or a sensor may have put words. */
const everyPage = (text: string): Promise<readonly string[]> => {
  const spoken = { ...visit, cellar: { cellar: 'skerrow', title: text } };
  const row = rowOf(text);
  const alarm = row.status.alarms.map((standing) => ({ ...standing, vessel: 'north' }));
  const change = {
    transition: 'acknowledged',
    at: now,
    by: text,
    note: text,
    alarm: sampleAlarm({ note: text }),
  } as const;
  const happening = { kind: 'fermentation-finished', at: now, words: text } as const;
  return Promise.all(
    [
      pages.signInPage({ problem: text }),
      pages.errorPage({ status: 404, title: text, detail: text, visit: spoken }),
      pages.cellarPage({ ...spoken, rows: [], standingAlarms: [], now }),
      pages.cellarPage({ ...spoken, rows: [row], standingAlarms: alarm, now }),
      pages.vesselPage({ ...spoken, ...row, changes: [change], happenings: [happening], now }),
      pages.alarmsPage({
        ...spoken,
        standing: alarm,
        history: [
          { kind: 'alarm', vessel: 'north', vesselTitle: text, ...change },
          { kind: 'happening', vessel: 'north', vesselTitle: text, happening },
        ],
        vessels: [row.vessel],
        now,
      }),
      pages.setUpPage({
        ...spoken,
        vessels: [row.vessel],
        batches: [{ batch: row.batch, vessel: 'north' }],
        now,
        keys: [
          {
            keyId: 'k',
            title: text,
            role: 'sensor',
            vessels: [text],
            createdAt: now,
            revokedAt: null,
            expiresAt: now,
            lastUsedAt: now,
          },
        ],
        receivers: [
          {
            id: 'r',
            title: text,
            url: text,
            waiting: 0,
            givenUp: 1,
            lastOutcome: text,
          },
        ],
        secret: { kind: 'key', title: text, secret: text },
        refused: {
          form: 'vessel',
          problems: { title: text },
          values: { title: text, vessel: text },
        },
      }),
    ].map(html),
  );
};

/** Tags and attributes only: what a browser would read as markup once every text is taken out. */
const skeleton = (page: string, text: string): string =>
  page.replaceAll(text, '').replaceAll(/>[^<]*</g, '><');

const escaped = (text: string): string =>
  text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');

describe('what people and sensors wrote stays text', () => {
  test('a hostile title adds no element and no attribute to any page', async () => {
    const hostile = `"><script>alert(1)</script><img src=x onerror='alert(2)'>&`;
    const plain = 'Zz';
    const [bad, good] = await Promise.all([everyPage(hostile), everyPage(plain)]);
    expect(bad).toHaveLength(7);
    bad.forEach((page, index) => {
      expect(page).not.toContain('<script>alert');
      expect(page).not.toContain('<img');
      expect(page).toContain(escaped(hostile));
      expect(skeleton(page, escaped(hostile))).toBe(skeleton(good[index] ?? '', plain));
    });
  });

  test('whatever the text, the markup of every page is the same', async () => {
    const reference = await everyPage('Zz');
    await fc.assert(
      fc.asyncProperty(
        fc.string({ unit: 'grapheme', minLength: 1, maxLength: 24 }).map((text) => `<q${text}"`),
        async (text) => {
          const made = await everyPage(text);
          made.forEach((page, index) => {
            expect(skeleton(page, escaped(text))).toBe(skeleton(reference[index] ?? '', 'Zz'));
          });
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('a strict content security policy holds', () => {
  test('no page carries an inline script, an inline style or another host', async () => {
    const made = await everyPage('Skerrow');
    expect(made).toHaveLength(7);
    for (const page of made) {
      for (const [tag, inside] of page
        .matchAll(/<script\b[^>]*>([^<]*)<\/script>/g)
        .map(([whole, content]) => [whole, content] as const)) {
        expect(tag).toMatch(/src="\/assets\/[\w-]+\.js"/);
        expect(inside).toBe('');
      }
      expect(page).not.toMatch(/<style\b/);
      expect(page).not.toMatch(/\sstyle=/);
      expect(page).not.toMatch(/\son[a-z]+=/);
      expect(page).not.toMatch(/(?:src|href|action)="(?:https?:)?\/\//);
      expect(page).not.toContain('javascript:');
    }
  });

  test('every form posts, to an address of this host', async () => {
    const made = (await everyPage('Skerrow')).slice(1);
    const forms = made.flatMap((page) => [...page.matchAll(/<form [^>]*>(.{0,90})/g)]);
    expect(forms.length).toBeGreaterThan(12);
    for (const [whole] of forms) {
      expect(whole).toContain('method="post"');
      expect(whole).toMatch(/action="\/[^/]/);
    }
  });
});

describe('an alarm is told by word and by shape', () => {
  const priorities: readonly Priority[] = ['high', 'medium', 'low'];
  const states: readonly AlarmState[] = [
    'unacknowledged',
    'acknowledged',
    'returned-unacknowledged',
    'shelved',
  ];
  const cellarWith = async (priority: Priority, state: AlarmState): Promise<string> => {
    const alarm = sampleAlarm({ priority, state, kind: 'over-pressure', alarm: 'over-pressure' });
    const row = {
      vessel: sampleVessel(),
      batch: sampleBatch(),
      status: sampleStatus({ alarms: [alarm] }),
    };
    return html(
      pages.cellarPage({
        ...visit,
        rows: [row],
        standingAlarms: [{ ...alarm, vessel: 'north' }],
        now,
      }),
    );
  };
  /** The drawn outline and the drawn inner mark, without any class that could carry colour. */
  const drawn = (page: string): string =>
    [...page.matchAll(/class="sign-(?:body|mark)" d="([^"]+)"/g)].map(([, path]) => path).join('|');

  test('each rank and each state reads in words and has a drawing of its own', async () => {
    const drawings = new Set<string>();
    for (const priority of priorities)
      for (const state of states) {
        const page = await cellarWith(priority, state);
        expect(page).toContain(alarmWords['over-pressure']);
        expect(page).toContain(priorityWords[priority]);
        expect(page).toContain(alarmStateWords[state]);
        expect(drawn(page)).not.toBe('');
        drawings.add(drawn(page));
      }
    expect(drawings.size).toBe(priorities.length * states.length);
  });

  test('only who may acknowledge is given the form, and others are told who may', async () => {
    const row = {
      vessel: sampleVessel(),
      batch: null,
      status: sampleStatus({ alarms: [sampleAlarm()] }),
    };
    const page = (role: 'viewer' | 'operator') =>
      html(pages.vesselPage({ ...visit, role, ...row, changes: [], happenings: [], now }));
    expect(await page('operator')).toContain(
      'action="/cellars/skerrow/vessels/north/alarms/stall/acknowledge"',
    );
    const viewers = await page('viewer');
    expect(viewers).not.toContain('/acknowledge"');
    expect(viewers).toContain('An operator of this cellar can acknowledge it.');
  });
});

describe('what needs a person comes first', () => {
  const vesselNamed = (name: string) => sampleVessel({ vessel: name, title: name });
  const rowWith = (name: string, alarms: readonly ReturnType<typeof sampleAlarm>[]) => ({
    vessel: vesselNamed(name),
    batch: sampleBatch(),
    status: sampleStatus({ alarms }),
  });

  test('unanswered before returned before acknowledged, the graver and the older first', () => {
    const groups = inOrderOfNeed([
      { vessel: vesselNamed('e'), batch: null, status: sampleStatus({ stage: null, latest: {} }) },
      rowWith('w', []),
      rowWith('k', [sampleAlarm({ state: 'acknowledged', priority: 'high' })]),
      rowWith('r', [sampleAlarm({ state: 'returned-unacknowledged', priority: 'high' })]),
      rowWith('l', [sampleAlarm({ priority: 'low' })]),
      rowWith('h2', [sampleAlarm({ priority: 'high', raisedAt: now - 60 })]),
      rowWith('h1', [sampleAlarm({ priority: 'high', raisedAt: now - 600 })]),
    ]);
    expect(groups.map(({ need, rows }) => [need, rows.map((row) => row.vessel.vessel)])).toEqual([
      ['needs', ['h1', 'h2', 'l', 'r']],
      ['inHand', ['k']],
      ['underWay', ['w']],
      ['empty', ['e']],
    ]);
  });

  test('one sentence says how many vessels need somebody, and how many at once', async () => {
    const summary = async (alarms: readonly (readonly ReturnType<typeof sampleAlarm>[])[]) => {
      const rows = alarms.map((list, index) => rowWith(`v${index}`, list));
      const page = await html(
        pages.cellarPage({
          ...visit,
          rows,
          standingAlarms: alarms.flat().map((alarm) => ({ ...alarm, vessel: 'v' })),
          now,
        }),
      );
      return /<h1>([^<]*)<\/h1>/.exec(page)?.[1];
    };
    const high = sampleAlarm({ priority: 'high' });
    const low = sampleAlarm({ priority: 'low' });
    const held = sampleAlarm({ state: 'acknowledged' });
    expect(await summary([[], []])).toBe('Nothing waits for you.');
    expect(await summary([[held], []])).toBe('Nothing waits for you; one alarm is in hand.');
    expect(await summary([[low], []])).toBe('One vessel needs you.');
    expect(await summary([[high], []])).toBe('One vessel needs you at once.');
    expect(await summary([[high], [low], [low]])).toBe(
      'Three vessels need you, one of them at once.',
    );
  });

  test('an empty cellar leads a keeper to the first steps and a viewer to the keeper', async () => {
    const page = (role: 'keeper' | 'viewer') =>
      html(pages.cellarPage({ ...visit, role, rows: [], standingAlarms: [], now }));
    expect(await page('keeper')).toContain('href="/cellars/skerrow/set-up"');
    expect(await page('keeper')).toContain('Describe a vessel');
    expect(await page('viewer')).toContain('Ask the keeper of this cellar to set it up.');
  });
});

describe('the one number that matters', () => {
  test('every stage shows something of what its vessel measures, and nothing when it measures nothing', () => {
    const latest = {
      temperature: sampleReading(18.4, 'Cel'),
      gravity: sampleReading(1.0181, '/'),
      'gauge-pressure': sampleReading(142_000, 'Pa'),
      'carbon-dioxide': sampleReading(1240, 'ppm'),
    };
    const channels = stages.map((stage) => {
      const vessel = sampleVessel();
      const batch = sampleBatch({ stage });
      expect(headline({ vessel, batch, status: sampleStatus({ stage, latest: {} }) })).toBeNull();
      return [stage, headline({ vessel, batch, status: sampleStatus({ stage, latest }) })?.channel];
    });
    expect(Object.fromEntries(channels)).toEqual({
      'mash-rest': 'temperature',
      boil: 'temperature',
      cooling: 'temperature',
      fermentation: 'gravity',
      conditioning: 'gravity',
      'cold-steep': 'temperature',
      ageing: 'temperature',
      blending: 'temperature',
      keg: 'gauge-pressure',
      workroom: 'carbon-dioxide',
    });
  });

  test('the share of a rating and the way to the end stay in bounds, and over a rating is said, whatever is measured', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -101_325, max: 2_000_000, noNaN: true }),
        fc.double({ min: 0.95, max: 1.25, noNaN: true }),
        fc.double({ min: 1, max: 600_000, noNaN: true }),
        (pressurePascal, gravity, rating) => {
          for (const stage of ['fermentation', 'keg'] as const) {
            const found = headline({
              vessel: sampleVessel({ ratedGaugePressurePascal: rating }),
              batch: sampleBatch({ stage }),
              status: sampleStatus({
                stage,
                latest: {
                  gravity: sampleReading(gravity, '/'),
                  'gauge-pressure': sampleReading(pressurePascal, 'Pa'),
                },
              }),
            });
            expect(found?.way?.share).toBeGreaterThanOrEqual(0);
            expect(found?.way?.share).toBeLessThanOrEqual(found?.way?.to === 'rating' ? 1.25 : 1);
            if (found?.way?.to === 'rating')
              expect(found.way.words.startsWith('Over')).toBe(pressurePascal > rating);
            expect(found?.figure).toMatch(/^\u2212?\d[\d\u202f]*\.\d+$/);
          }
        },
      ),
    );
  });

  test('quantities are shown in trade units: 1 bar is 100 000 Pa, 1 L/h is 1/3 600 000 m3/s', () => {
    expect(channelText('gauge-pressure', 142_000)).toBe('1.42\u00a0bar');
    expect(channelText('gas-flow', 5 / 3_600_000)).toBe('5.0\u00a0L/h');
    expect(channelText('oxygen', 0.195)).toBe('19.5\u00a0%');
    expect(channelText('gravity', 1.0181)).toBe('1.0181\u00a0SG');
    expect(numberText(-0.04, 1)).toBe('0.0');
    expect(numberText(-1.26, 1)).toBe('\u22121.3');
    expect(numberText(1_234_567, 0)).toBe('1\u202f234\u202f567');
  });
});

describe('moments', () => {
  test('every time element carries its moment in UTC for a machine', async () => {
    const made = await everyPage('Skerrow');
    const times = made.flatMap((page) => [...page.matchAll(/<time ([^>]*)>/g)]);
    expect(times.length).toBeGreaterThan(20);
    for (const [, attributes] of times)
      expect(attributes).toMatch(/datetime="\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ"/);
  });

  test('within one minute an unchanged cellar gives the same page, so that its ETag holds', async () => {
    const at = (moment: number) =>
      html(pages.cellarPage({ ...visit, rows: [rowOf('x')], standingAlarms: [], now: moment }));
    expect(now % 60).toBe(0);
    expect(await at(now + 59)).toBe(await at(now));
    expect(await at(now + 60)).not.toBe(await at(now));
  });
});

describe('a refused form', () => {
  test('comes back open, as it was typed, with each problem tied to its field', async () => {
    const page = await html(
      pages.setUpPage({
        ...visit,
        vessels: [],
        batches: [],
        now,
        keys: [],
        receivers: [],
        refused: {
          form: 'vessel',
          problems: { volumeLitre: 'volumeLitre is -3' },
          values: { title: 'North keg', volumeLitre: '-3', kind: 'keg' },
        },
      }),
    );
    const field = /<input id="vessel-volumeLitre"[^>]*>/.exec(page)?.[0] ?? '';
    expect(field).toContain('value="-3"');
    expect(field).toContain('aria-invalid="true"');
    expect(field).toContain('vessel-volumeLitre-problem');
    expect(page).toContain('id="vessel-volumeLitre-problem">volumeLitre is -3<');
    expect(page).toContain('href="#vessel-volumeLitre"');
    expect(page).toMatch(/<option value="keg" selected/);
    expect(page).toMatch(/<details class="disclosure" id="vessel-form" open/);
  });

  test('every field has a label of its own', async () => {
    const page = (await everyPage('Skerrow')).at(-1) ?? '';
    const ids = [...page.matchAll(/<(?:input|select|textarea) id="([^"]+)"/g)].map(([, id]) => id);
    expect(ids.length).toBeGreaterThan(24);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ids) expect(page).toContain(`for="${id}"`);
  });
});

describe('what the browser fetches', () => {
  const body = async (path: string): Promise<Uint8Array> => {
    const answer = pages.assetResponse(path.replace('/assets/', ''), null);
    expect(answer?.status).toBe(200);
    return new Uint8Array((await answer?.arrayBuffer()) ?? new ArrayBuffer(0));
  };

  test('the cellar page stays under 90 kB of compressed script and style, fonts counted too', async () => {
    const sheet = await body(pages.assetPath['page.css']);
    const fonts = [...new TextDecoder().decode(sheet).matchAll(/url\("?(\/assets\/[^")]+)"?\)/g)];
    expect(fonts).toHaveLength(2);
    const sizes = [
      gzipSync(sheet).length,
      gzipSync(await body(pages.assetPath['live.js'])).length,
      ...(await Promise.all(fonts.map(async ([, path]) => (await body(path ?? '')).length))),
    ];
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(90_000);
  });

  test('RFC 9110 13.1.2: the same ETag answers 304, and a hashed name may be kept for ever', () => {
    const name = pages.assetPath['live.js'].replace('/assets/', '');
    const whole = pages.assetResponse(name, null);
    const etag = whole?.headers.get('etag') ?? '';
    expect(whole?.headers.get('cache-control')).toContain('immutable');
    expect(pages.assetResponse(name, `"other", W/${etag}`)?.status).toBe(304);
    expect(pages.assetResponse(name, '"other"')?.status).toBe(200);
    expect(pages.assetResponse('live.js', null)).toBeNull();
    expect(pages.assetResponse('constructor', null)).toBeNull();
  });
});

describe('WCAG 2.2 contrast of the sheet, light and dark', () => {
  /** Relative luminance and contrast as WCAG 2.2 defines them. */
  const luminance = (colour: string): number => {
    const [red = 0, green = 0, blue = 0] = (colour.match(/[\da-f]{2}/gi) ?? []).map((pair) => {
      const share = Number.parseInt(pair, 16) / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const contrast = (one: string, other: string): number => {
    const [dark = 0, light = 0] = [luminance(one), luminance(other)].toSorted((a, b) => a - b);
    return (light + 0.05) / (dark + 0.05);
  };
  const text = 4.5;
  const shape = 3;
  const pairs: readonly (readonly [string, string, number])[] = [
    ...['paper', 'sheet'].flatMap((ground) => [
      ...['ink', 'ink-soft', 'accent', 'high', 'medium', 'low'].map(
        (ink) => [ink, ground, text] as const,
      ),
      ['rule-strong', ground, shape] as const,
    ]),
    ['on-accent', 'accent', text],
    ...['high', 'medium', 'low'].flatMap(
      (rank) =>
        [
          ['on-rank', `${rank}-block`, text],
          [rank, `${rank}-tint`, shape],
        ] as const,
    ),
  ];

  test.each(['light', 'dark'])('%s', async (scheme) => {
    const sheet = await readFile(new URL('../../src/web/client/page.css', import.meta.url), 'utf8');
    const [light = '', dark = ''] = [...sheet.matchAll(/:root \{([^}]*)\}/g)].map(
      ([, declarations]) => declarations ?? '',
    );
    const values = new Map<string, string>();
    for (const block of scheme === 'dark' ? [light, dark] : [light])
      for (const [, name, value] of block.matchAll(/--([\w-]+):\s*(#[\da-f]{6}|var\(--[\w-]+\));/g))
        values.set(name ?? '', value ?? '');
    const resolve = (name: string): string => {
      const value = values.get(name) ?? '';
      const other = /var\(--([\w-]+)\)/.exec(value)?.[1];
      return other === undefined ? value : resolve(other);
    };
    expect(pairs).toHaveLength(21);
    for (const [ink, ground, least] of pairs) {
      expect(resolve(ink), ink).toMatch(/^#[\da-f]{6}$/);
      expect(contrast(resolve(ink), resolve(ground)), `${ink} on ${ground}`).toBeGreaterThanOrEqual(
        least,
      );
    }
  });
});

describe('an absence of Gyleward itself', () => {
  const absence = { from: now - 7200, to: now - 3600 };
  const cellarText = (at: number) =>
    html(
      pages.cellarPage({
        ...visit,
        rows: [{ ...rowOf('Long Meg'), absence }],
        standingAlarms: [],
        now: at,
      }),
    );
  const vesselText = (at: number) =>
    html(
      pages.vesselPage({
        ...visit,
        ...rowOf('Long Meg'),
        changes: [],
        happenings: [],
        absence,
        now: at,
      }),
    );

  test('is said on the cellar and on the vessel, with both its ends, for a day', async () => {
    const ends = [absence.from, absence.to].map((at) =>
      new Date(at * 1000).toISOString().replace('.000', ''),
    );
    for (const text of [await cellarText(now), await vesselText(now)]) {
      expect(text).toContain('Gyleward itself was away');
      for (const end of ends) expect(text).toContain(`datetime="${end}"`);
    }
    for (const text of [await cellarText(now + 86_400), await vesselText(now + 86_400)])
      expect(text).not.toContain('Gyleward itself was away');
  });
});
