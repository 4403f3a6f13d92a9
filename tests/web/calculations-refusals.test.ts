/**
 * What the calculations refuse: each number of each body, missing, as text, infinite and out of range, is
 * named with what was found; and whatever numbers come, an answer holds none that is not finite.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Calculation } from '../../src/web/calculations/calculation.ts';
import { exampleBody } from '../../src/web/calculations/example.ts';
import type { Field } from '../../src/web/calculations/field.ts';
import { calculationNamed, calculations } from '../../src/web/calculations/table.ts';
import { Refusal } from '../../src/web/fault.ts';
import { numberPaths, withValue } from './calculation-bodies.ts';
import {
  askCalculations,
  askText,
  calculate,
  type Refused,
  refused,
} from './calculation-requests.ts';

const named = (name: string): Calculation => {
  const found = calculationNamed(name);
  if (found === null) throw new Error(`no calculation ${name}`);
  return found;
};

const everyNumber = calculations.flatMap((one) =>
  numberPaths(one).map((number) => ({ one, ...number })),
);

const namesField = ({ status, detail, errors }: Refused, path: string): void => {
  expect({ status, field: errors[0]?.field }).toEqual({ status: 422, field: path });
  expect(detail).toContain(path);
};

describe('each number of each calculation', () => {
  test.each(calculations.map((one) => [one.name, one] as const))(
    '%s: the example is answered, which is where the changes below begin',
    async (name, one) => {
      await calculate(name, exampleBody(one));
    },
  );

  test('missing, where it must be given, is refused by name', async () => {
    const demanded = everyNumber.filter(({ need }) => need === 'given');
    for (const { one, path } of demanded) {
      const body = withValue(exampleBody(one), path, undefined);
      const problem = await refused(one.name, JSON.stringify(body));
      namesField(problem, path);
      expect(problem.detail).toContain('found nothing');
    }
    expect(demanded.length).toBeGreaterThan(70);
  });

  test.each(['NaN', '1,05', 'warm'])(
    'as the text %j is refused by name, with the text',
    async (text) => {
      for (const { one, path } of everyNumber) {
        const body = withValue(exampleBody(one), path, text);
        const problem = await refused(one.name, JSON.stringify(body));
        namesField(problem, path);
        expect(problem.detail).toContain(`found "${text}"`);
      }
      expect(everyNumber.length).toBeGreaterThan(110);
    },
  );

  test('infinite, as 1e999 is once it is parsed, is refused by name', async () => {
    for (const { one, path } of everyNumber) {
      const body = JSON.stringify(withValue(exampleBody(one), path, '1e999'));
      namesField(await refused(one.name, body.replace('"1e999"', '1e999')), path);
    }
  });

  test.each([1e22, -1e22])(
    'out of range, as %d is everywhere, is refused by name and value',
    async (value) => {
      for (const { one, path } of everyNumber) {
        const body = withValue(exampleBody(one), path, value);
        const problem = await refused(one.name, JSON.stringify(body));
        expect({ name: one.name, path, field: problem.errors[0]?.field }).toEqual({
          name: one.name,
          path,
          field: path,
        });
        expect(problem.status).toBe(422);
      }
    },
  );
});

describe('the words of a refusal', () => {
  test('name the field, the value, its unit and the bounds', async () => {
    const problem = await refused('alcohol', '{"originalGravity": 1.3, "presentGravity": 1.01}');
    expect(problem).toMatchObject({
      status: 422,
      title: 'Calculation refused',
      detail:
        'originalGravity is 1.3 SG 20/20, outside the range of 0.96 to 1.17 SG 20/20 in which the formula holds; give a value inside it',
      errors: [{ field: 'originalGravity' }],
    });
  });

  test('name both values that contradict each other, in the unit that was sent', async () => {
    const { detail, errors } = await refused(
      'alcohol',
      '{"originalGravity": 1.04, "presentGravity": 1.05}',
    );
    expect(errors[0]?.field).toBe('presentGravity');
    expect(detail).toMatch(
      /^presentGravity of 1\.05 SG 20\/20 contradicts originalGravity of 1\.04 SG/,
    );
  });

  test('give the bounds in the unit that was sent, where the formula has another', async () => {
    const { detail } = await refused(
      'heat',
      JSON.stringify(withValue(exampleBody(named('heat')), 'extractFallPlatoPerDay', 100)),
    );
    expect(detail).toContain(
      'extractFallPlatoPerDay is 100 °P per day, outside the range of 0 to 72',
    );
  });

  test('name the member of a list', async () => {
    const body = withValue(exampleBody(named('blend')), 'components.1.alcoholByVolumePercent', 120);
    const { errors } = await refused('blend', JSON.stringify(body));
    expect(errors[0]?.field).toBe('components.1.alcoholByVolumePercent');
  });

  test.each([
    [
      'closed-vessel',
      { carbonDioxideGramPerLitre: 4, gaugePressurePascal: 90_000 },
      'gaugePressurePascal',
    ],
    ['closed-vessel', { carbonDioxideGramPerLitre: null }, 'carbonDioxideGramPerLitre'],
    ['closed-vessel', { warmestCelsius: 3 }, 'warmestCelsius'],
    ['closed-vessel', { headspaceLitre: 0.1 }, 'headspaceLitre'],
    ['blend', { warmestCelsius: null }, 'warmestCelsius'],
    ['scale-up', { wantedLitre: 49 }, 'wantedLitre'],
    ['heat', { terminalGravity: 1.04 }, 'presentGravity'],
    ['refractometer', { readingBrix: 14 }, 'readingBrix'],
  ] as const)('%s with %j is refused at %s', async (name, change, field) => {
    const body = { ...exampleBody(named(name)), ...change };
    const { errors } = await refused(name, JSON.stringify(body));
    expect(errors[0]?.field).toBe(field);
  });

  test.each([
    ['blend', 'components'],
    ['blend-shares', 'candidates'],
    ['scale-up', 'lines'],
  ])('%s: two components of one name could not be told apart', async (name, list) => {
    const body = withValue(exampleBody(named(name)), `${list}.2.name`, 'Wheat beer');
    const { errors } = await refused(name, JSON.stringify(body));
    expect(errors[0]?.field).toBe(`${list}.2.name`);
  });

  test('an addition without its amount says which and what is lacking', async () => {
    const body = {
      ...exampleBody(named('alcohol-after-additions')),
      additions: [
        { what: 'sugar', gram: 100 },
        { what: 'spirit', litre: 1 },
      ],
    };
    const { errors } = await refused('alcohol-after-additions', JSON.stringify(body));
    expect(errors[0]?.field).toBe('additions.1.alcoholByVolumePercent');
  });
});

describe('the request', () => {
  const good = JSON.stringify({ depthMetre: 1, densityKilogramPerCubicMetre: 1000 });

  test('may not be larger than 16 kB', async () => {
    const { status, detail } = await refused(
      'hydrostatic-pressure',
      `${good}${' '.repeat(16_384)}`,
    );
    expect(status).toBe(413);
    expect(detail).toContain('16384 bytes');
  });

  test('with a member that the calculation does not know is refused by that name', async () => {
    const { errors } = await refused(
      'hydrostatic-pressure',
      '{"depthMetre": 1, "densityKilogramPerCubicMetre": 1000, "depthFeet": 3}',
    );
    expect(errors[0]?.detail).toContain('depthFeet');
  });

  test.each([
    ['NaN as a bare word', '{"depthMetre": NaN}', 400],
    ['nothing', '', 400],
    ['a list', '[]', 422],
    ['null', 'null', 422],
  ])('that holds %s is refused', async (_what, text, status) => {
    expect((await refused('hydrostatic-pressure', text)).status).toBe(status);
  });

  test('that is no JSON by its own account is refused', async () => {
    const answer = await askCalculations('/hydrostatic-pressure', {
      method: 'POST',
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
      body: good,
    });
    expect(answer.status).toBe(415);
  });

  test('for a calculation that there is not gets 404', async () => {
    expect((await refused('priming', '{}')).status).toBe(404);
    expect((await askCalculations('/constructor')).status).toBe(404);
  });

  test('needs no key, and its answer is not kept by caches', async () => {
    const answer = await askText('hydrostatic-pressure', good);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('cache-control')).toBe('no-store');
  });
});

/** Numbers from everywhere: near the example, ordinary, huge, tiny, negative. */
const anyNumber = (near: number): fc.Arbitrary<number> =>
  fc.oneof(
    {
      weight: 60,
      arbitrary: fc.double({ min: 0.9, max: 1.1, noNaN: true }).map((by) => near * by),
    },
    { weight: 2, arbitrary: fc.double({ min: -100, max: 2000, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(0, -0, 1e-300, 1e300, -1e300, 1e15) },
    { weight: 1, arbitrary: fc.double({ noNaN: true, noDefaultInfinity: true }) },
  );

const anyValue = (field: Field): fc.Arbitrary<unknown> => {
  switch (field.kind) {
    case 'number': {
      const number = anyNumber(field.example ?? 1);
      return field.need === 'given' ? number : fc.option(number, { nil: undefined });
    }
    case 'choice':
      return fc.constantFrom(...Object.keys(field.options));
    case 'name':
      return fc.constantFrom('Wheat beer', 'Elder', 'a: b', '<b>');
    case 'rows':
      return fc.array(
        fc.record(
          Object.fromEntries(
            Object.entries(field.fields).map(([name, cell]) => [name, anyValue(cell)]),
          ),
        ),
        { minLength: field.least, maxLength: 3 },
      );
  }
};

const leaves = (value: unknown): readonly unknown[] =>
  typeof value === 'object' && value !== null ? Object.values(value).flatMap(leaves) : [value];

/** Where a body of this calculation may be at fault. */
const isPlace = ({ inputs }: Calculation, path: string): boolean => {
  const [name = '', member, own] = path.split('.');
  const field = inputs[name];
  if (field === undefined) return false;
  if (field.kind !== 'rows') return member === undefined;
  return own === undefined || Object.hasOwn(field.fields, own);
};

describe('whatever numbers come', () => {
  let answered = 0;
  let turnedDown = 0;

  test.each(calculations.map((one) => [one.name, one] as const))(
    '%s answers with finite numbers or refuses at a field of its body',
    (_name, one) => {
      const bodies = fc.record(
        Object.fromEntries(
          Object.entries(one.inputs).map(([name, field]) => [name, anyValue(field)]),
        ),
      );
      fc.assert(
        fc.property(bodies, (body) => {
          try {
            const outcome = one.calculate(body);
            if (!outcome.ok) {
              turnedDown += 1;
              expect(isPlace(one, outcome.fault.field), outcome.fault.field).toBe(true);
              return;
            }
            answered += 1;
            for (const leaf of leaves(outcome.value))
              expect(typeof leaf !== 'number' || Number.isFinite(leaf)).toBe(true);
          } catch (error) {
            // A list of no members, where one is the least: the schema's own refusal.
            if (!(error instanceof Refusal)) throw error;
            expect(error.fault.kind).toBe('fields');
          }
        }),
        { numRuns: 150 },
      );
    },
    30_000,
  );

  test('both were met often: answers and refusals', () => {
    expect(answered).toBeGreaterThan(500);
    expect(turnedDown).toBeGreaterThan(500);
  });
});
