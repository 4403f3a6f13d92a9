/** The writer of OpenMetrics against a strict reader, which was itself held to what the standard forbids. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type MetricFamily, openMetricsText } from '../../src/wire/openmetrics-write.ts';
import { readOpenMetrics } from './read-openmetrics.ts';

test('writes the example of a counter and a gauge as the standard has them', () => {
  expect(
    openMetricsText([
      {
        kind: 'counter',
        name: 'foo',
        help: 'Counts "foo"',
        samples: [{ labels: { a: 'x\\y\n"z"' }, value: 17, since: 1_520_430_000.123 }],
      },
      { kind: 'gauge', name: 'age_seconds', unit: 'seconds', help: 'Age', samples: [] },
    ]),
  ).toBe(
    '# TYPE foo counter\n# HELP foo Counts \\"foo\\"\n' +
      'foo_total{a="x\\\\y\\n\\"z\\""} 17\nfoo_created{a="x\\\\y\\n\\"z\\""} 1520430000.123\n' +
      '# TYPE age_seconds gauge\n# UNIT age_seconds seconds\n# HELP age_seconds Age\n# EOF\n',
  );
});

test('whatever the labels and numbers, the reader gets back what was written', () => {
  const family = fc.record({
    help: fc.string({ unit: 'grapheme' }).filter((text) => !/[\r\u2028\u2029]/.test(text)),
    values: fc.uniqueArray(
      fc.tuple(fc.string({ unit: 'binary' }), fc.double({ min: 0, noNaN: true })),
      { selector: ([label]) => label },
    ),
  });
  fc.assert(
    fc.property(family, ({ help, values }) => {
      const written: MetricFamily = {
        kind: 'counter',
        name: 'gyleward_test',
        help,
        samples: values.map(([label, value]) => ({ labels: { label }, value, since: 1.5 })),
      };
      const read = readOpenMetrics(openMetricsText([written])).get('gyleward_test');
      expect(read?.help).toBe(help);
      expect(
        read?.samples
          .filter(({ name }) => name.endsWith('_total'))
          .map(({ labels, value }) => [labels.label, value]),
      ).toEqual(values);
    }),
  );
});

describe('the reader refuses', () => {
  test.each([
    ['no end', '# TYPE a gauge\na 1\n'],
    ['a sample of no family', 'a 1\n# EOF\n'],
    ['a counter without its suffix', '# TYPE a counter\na 1\n# EOF\n'],
    ['a family twice', '# TYPE a gauge\n# TYPE a gauge\n# EOF\n'],
    ['a sample twice', '# TYPE a gauge\na{b="1"} 1\na{b="1"} 2\n# EOF\n'],
    ['a bare quote', '# TYPE a gauge\na{b="1"2"} 1\n# EOF\n'],
    ['help after samples', '# TYPE a gauge\na 1\n# HELP a x\n# EOF\n'],
    ['a unit that the name lacks', '# TYPE a gauge\n# UNIT a seconds\n# EOF\n'],
    ['an empty line', '# TYPE a gauge\n\n# EOF\n'],
    ['a counter below 0', '# TYPE a counter\na_total -1\n# EOF\n'],
  ])('%s', (_, text) => {
    expect(() => readOpenMetrics(text)).toThrow();
  });
});
