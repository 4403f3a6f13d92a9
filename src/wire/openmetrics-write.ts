/**
 * Writes metrics as OpenMetrics text, version 1.0.0 (CNCF, 2020): families one after another, each with its type, unit
 * and help, counters with the moment at which they began, and the end marker last. Pure: no I/O, no clock.
 */

export const openMetricsMediaType = 'application/openmetrics-text; version=1.0.0; charset=utf-8';

type Labels = Readonly<Record<string, string>>;

type Words = {
  /** Ends in the unit where there is one. */
  readonly name: string;
  readonly help: string;
  readonly unit?: 'seconds';
};

export type MetricFamily =
  | (Words & {
      readonly kind: 'gauge';
      readonly samples: readonly { readonly labels: Labels; readonly value: number }[];
    })
  | (Words & {
      readonly kind: 'counter';
      readonly samples: readonly {
        readonly labels: Labels;
        readonly value: number;
        /** Unix seconds from which it counts. */
        readonly since: number;
      }[];
    });

/** Backslash, quote and line feed are escaped, in help and in labels alike. */
const escaped = (text: string): string =>
  text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n');

const labelled = (name: string, labels: Labels): string => {
  const pairs = Object.entries(labels).map(([label, value]) => `${label}="${escaped(value)}"`);
  return pairs.length === 0 ? name : `${name}{${pairs.join(',')}}`;
};

/** The standard writes what is no finite number in words of its own. */
const number = (value: number): string => {
  if (Number.isNaN(value)) return 'NaN';
  if (Number.isFinite(value)) return String(value);
  return value > 0 ? '+Inf' : '-Inf';
};

const linesOf = (family: MetricFamily): readonly string[] => {
  const { name, kind, help, unit } = family;
  const head = [
    `# TYPE ${name} ${kind}`,
    ...(unit === undefined ? [] : [`# UNIT ${name} ${unit}`]),
    `# HELP ${name} ${escaped(help)}`,
  ];
  if (family.kind === 'gauge')
    return [
      ...head,
      ...family.samples.map(({ labels, value }) => `${labelled(name, labels)} ${number(value)}`),
    ];
  return [
    ...head,
    ...family.samples.flatMap(({ labels, value, since }) => [
      `${labelled(`${name}_total`, labels)} ${number(value)}`,
      `${labelled(`${name}_created`, labels)} ${number(since)}`,
    ]),
  ];
};

export const openMetricsText = (families: readonly MetricFamily[]): string =>
  `${[...families.flatMap(linesOf), '# EOF'].join('\n')}\n`;
