/**
 * Reads OpenMetrics text strictly, after the ABNF and the rules of OpenMetrics 1.0.0 as far as gauges and counters go:
 * whatever breaks one throws, with its line.
 */
type ReadSample = {
  readonly name: string;
  readonly labels: Readonly<Record<string, string>>;
  readonly value: number;
};

export type ReadFamily = {
  readonly type: string;
  readonly unit: string | null;
  readonly help: string;
  readonly samples: readonly ReadSample[];
};

const metricName = '[a-zA-Z_:][a-zA-Z0-9_:]*';
const labelPair = '[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\\\\n]|\\\\["\\\\n])*"';
const sampleLine = new RegExp(
  `^(${metricName})(?:\\{(${labelPair}(?:,${labelPair})*)?\\})? ([+-]?(?:[0-9]+(?:\\.[0-9]*)?|\\.[0-9]+)(?:e[+-]?[0-9]+)?|[+-]?Inf|NaN)$`,
  'i',
);
const headLine = new RegExp(`^# (TYPE|UNIT|HELP) (${metricName}) (.*)$`);

const unescaped = (text: string): string =>
  text.replaceAll(/\\(["\\n])/g, (_, letter: string) => (letter === 'n' ? '\n' : letter));

const labelsOf = (text: string): Readonly<Record<string, string>> => {
  const labels: Record<string, string> = {};
  for (const [, name = '', value = ''] of text.matchAll(
    /([a-zA-Z_][a-zA-Z0-9_]*)="((?:[^"\\\n]|\\["\\n])*)"/g,
  )) {
    if (Object.hasOwn(labels, name)) throw new Error(`label ${name} stands twice`);
    labels[name] = unescaped(value);
  }
  return labels;
};

const suffixes: Readonly<Record<string, readonly string[]>> = {
  gauge: [''],
  counter: ['_total', '_created'],
};

export const readOpenMetrics = (text: string): ReadonlyMap<string, ReadFamily> => {
  if (!text.endsWith('# EOF\n')) throw new Error('does not end in # EOF and a line feed');
  const lines = text.slice(0, -1).split('\n');
  const families = new Map<
    string,
    { type: string; unit: string | null; help: string; samples: ReadSample[] }
  >();
  const seen = new Set<string>();
  let present = '';
  for (const line of lines.slice(0, -1)) {
    const head = headLine.exec(line);
    if (head !== null) {
      const [, keyword = '', name = '', rest = ''] = head;
      if (keyword === 'TYPE') {
        if (families.has(name)) throw new Error(`family ${name} stands twice: ${line}`);
        if (suffixes[rest] === undefined) throw new Error(`no such type: ${line}`);
        families.set(name, { type: rest, unit: null, help: '', samples: [] });
        present = name;
        continue;
      }
      const family = families.get(name);
      if (family === undefined || name !== present || family.samples.length > 0)
        throw new Error(`out of its place: ${line}`);
      if (keyword === 'HELP') family.help = unescaped(rest);
      else {
        if (!name.endsWith(`_${rest}`)) throw new Error(`name without its unit: ${line}`);
        family.unit = rest;
      }
      continue;
    }
    const sample = sampleLine.exec(line);
    const family = families.get(present);
    if (sample === null || family === undefined) throw new Error(`not a line of it: ${line}`);
    const [, name = '', labels = '', value = ''] = sample;
    const suffix = name.slice(present.length);
    if (!name.startsWith(present) || !suffixes[family.type]?.includes(suffix))
      throw new Error(`not a sample of ${present}: ${line}`);
    const key = line.slice(0, line.lastIndexOf(' '));
    if (seen.has(key)) throw new Error(`stands twice: ${line}`);
    seen.add(key);
    const number = Number(value.replace('Inf', 'Infinity'));
    if (family.type === 'counter' && !(number >= 0)) throw new Error(`counts below 0: ${line}`);
    family.samples.push({ name, labels: labelsOf(labels), value: number });
  }
  return families;
};
