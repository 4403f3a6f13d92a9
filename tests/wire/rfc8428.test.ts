/**
 * RFC 8428 (SenML) section 4 and 5, clause by clause, with the versions of RFC 9100.
 * Outside truth: the packs and the resolved list that the RFC prints (fixtures/standards). Where the
 * RFC prints no resolved list, the one in the fixture was computed from section 4 when it was made.
 */
import { describe, expect, it } from 'vitest';
import examples from '../../fixtures/standards/senml_examples.json' with { type: 'json' };
import { parseSenml, parseSenmlJson, type SenmlRecord } from '../../src/wire/senml.ts';
import { type SenmlFault, senmlFaultInWords } from '../../src/wire/senml-fault.ts';

const now = 1_700_000_000;

const recordsOf = (pack: unknown): readonly SenmlRecord[] => {
  const parsed = parseSenml(pack, now);
  if (!parsed.ok) throw new Error(senmlFaultInWords(parsed.fault));
  return parsed.value.records;
};

const onlyRecordOf = (pack: unknown): SenmlRecord => {
  const [record, ...rest] = recordsOf(pack);
  if (record === undefined || rest.length > 0) throw new Error('expected one record');
  return record;
};

const faultOf = (pack: unknown): SenmlFault => {
  const parsed = parseSenml(pack, now);
  if (parsed.ok) throw new Error('expected a fault');
  return parsed.fault;
};

/** A resolved record with the labels of table 1, so that it can be held against a printed list. */
const asPrinted = (record: SenmlRecord, version: number): Readonly<Record<string, unknown>> => ({
  n: record.name,
  ...(record.unit === null ? {} : { u: record.unit }),
  t: record.timeSeconds,
  ...(record.value?.kind === 'number' ? { v: record.value.number } : {}),
  ...(record.value?.kind === 'text' ? { vs: record.value.text } : {}),
  ...(record.value?.kind === 'truth' ? { vb: record.value.truth } : {}),
  ...(record.value?.kind === 'data' ? { vd: record.value.base64url } : {}),
  ...(record.sum === null ? {} : { s: record.sum }),
  ...(version === 10 ? {} : { bver: version }),
});

/** Printed lists leave the time out where it is "now". */
const atNow = (printed: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> => ({
  t: now,
  ...printed,
});

describe('RFC 8428 section 5.1: the printed packs', () => {
  const resolvable = examples.packs.filter((pack) => pack.json !== null);
  let compared = 0;

  it.each(resolvable.map((pack, index) => ({ ...pack, index })))(
    '$section (pack $index) resolves as printed',
    ({ section, json, resolved_computed }) => {
      const printed = section.startsWith('5.1.4') ? json : resolved_computed;
      const parsed = parseSenml(json, now);
      if (!parsed.ok) throw new Error(senmlFaultInWords(parsed.fault));
      const { records, version } = parsed.value;
      const found = records.map((record) => asPrinted(record, version));
      expect(found).toEqual((printed ?? []).map(atNow));
      expect(found.length).toBeGreaterThan(0);
      compared += 1;
    },
  );

  it('5.1.3 resolves to the very list that 5.1.4 prints', () => {
    const packOf = (section: string) =>
      examples.packs.find((pack) => pack.section.startsWith(section))?.json;
    const printed = packOf('5.1.4');
    expect(printed).toHaveLength(13);
    expect(recordsOf(packOf('5.1.3')).map((record) => asPrinted(record, 10))).toEqual(printed);
  });

  it('compared all nine packs that the RFC prints in full', () => {
    expect(resolvable).toHaveLength(9);
    expect(compared).toBe(9);
  });

  it('reads the packs from their printed text as well', () => {
    let read = 0;
    for (const { verbatim, json } of resolvable) {
      expect(parseSenmlJson(verbatim, now)).toEqual(parseSenml(json, now));
      read += 1;
    }
    expect(read).toBe(9);
  });

  it('refuses the SensML stream of 5.1.2, which the RFC cuts off and which is no JSON', () => {
    const stream = examples.packs.find((pack) => pack.json === null);
    expect(stream?.verbatim).toContain('...');
    const parsed = parseSenmlJson(stream?.verbatim ?? '[]', now);
    expect(parsed).toMatchObject({ ok: false, fault: { kind: 'not-json' } });
  });
});

describe('section 4: packs and base fields', () => {
  it('is a single array that represents a set of records', () => {
    expect(faultOf({ n: 'a', v: 1 })).toEqual({ kind: 'not-an-array', found: 'an object' });
    expect(faultOf('[]')).toEqual({ kind: 'not-an-array', found: '"[]"' });
    expect(faultOf(null)).toEqual({ kind: 'not-an-array', found: 'null' });
  });

  it('holds at least one record (section 11, CDDL: 1* record)', () => {
    expect(faultOf([])).toEqual({ kind: 'empty-pack' });
  });

  it('holds objects only', () => {
    expect(faultOf([{ n: 'a', v: 1 }, [2]])).toEqual({
      kind: 'not-an-object',
      record: 1,
      found: 'an array',
    });
    expect(faultOf([null])).toMatchObject({ kind: 'not-an-object', record: 0, found: 'null' });
  });

  it('applies a base field to its record and to those after, up to the next of the same field', () => {
    const pack = [
      { bn: 'a/', bt: 1_600_000_000, bu: 'Cel', bv: 100, bs: 1000, n: 'x', v: 1, s: 1 },
      { n: 'y', v: 2, s: 2 },
      { bn: 'b/', bv: -100, n: 'x', v: 3, s: 3 },
      { bt: 1_600_000_100, bu: 'K', bs: -1000, n: 'y', v: 4, s: 4 },
    ];
    expect(recordsOf(pack).map((record) => asPrinted(record, 10))).toEqual([
      { n: 'a/x', u: 'Cel', t: 1_600_000_000, v: 101, s: 1001 },
      { n: 'a/y', u: 'Cel', t: 1_600_000_000, v: 102, s: 1002 },
      { n: 'b/x', u: 'Cel', t: 1_600_000_000, v: -97, s: 1003 },
      { n: 'b/y', u: 'K', t: 1_600_000_100, v: -96, s: -996 },
    ]);
  });

  it('takes an empty base name for a base name, which ends the one before', () => {
    expect(
      recordsOf([
        { bn: 'a/', n: 'x', v: 1 },
        { bn: '', n: 'y', v: 1 },
      ]).map(({ name }) => name),
    ).toEqual(['a/x', 'y']);
  });

  it('takes a record of base fields alone for no measurement (third example of 5.1.7)', () => {
    expect(recordsOf([{ bn: 'a' }])).toEqual([]);
    expect(recordsOf([{ bn: 'a', bv: 5, bs: 3, vendor: true }])).toEqual([]);
  });
});

describe('section 4.2: regular fields', () => {
  it.each(['v', 'vs', 'vb', 'vd'])('reads the value field %s', (label) => {
    const sent = { v: 1.5, vs: 'text', vb: false, vd: 'aGkgCg' }[label];
    expect(asPrinted(onlyRecordOf([{ n: 'a', [label]: sent }]), 10)).toMatchObject({
      [label]: sent,
    });
  });

  it('refuses two value fields', () => {
    expect(faultOf([{ n: 'a', v: 1, vb: true }])).toEqual({
      kind: 'several-values',
      record: 0,
      fields: ['v', 'vb'],
    });
  });

  it('refuses no value field', () => {
    expect(faultOf([{ n: 'a', v: 1 }, { n: 'b' }])).toEqual({ kind: 'value-missing', record: 1 });
    expect(faultOf([{}])).toEqual({ kind: 'value-missing', record: 0 });
    expect(faultOf([{ bn: 'a', bv: 20, t: 0 }])).toEqual({ kind: 'value-missing', record: 0 });
  });

  it('accepts no value field where there is a sum', () => {
    const record = onlyRecordOf([{ n: 'a', bv: 7, s: 12 }]);
    expect(record.value).toBeNull();
    expect(record.sum).toBe(12);
  });

  it('accepts one value field beside a sum, and not two', () => {
    expect(onlyRecordOf([{ n: 'a', v: 1, s: 12 }])).toMatchObject({ sum: 12 });
    expect(faultOf([{ n: 'a', v: 1, vs: 'x', s: 12 }])).toMatchObject({ kind: 'several-values' });
  });

  it('reads the update time', () => {
    expect(onlyRecordOf([{ n: 'a', v: 1, ut: 60 }]).updateTimeSeconds).toBe(60);
    expect(onlyRecordOf([{ n: 'a', v: 1 }]).updateTimeSeconds).toBeNull();
  });
});

describe('section 4.3, table 1: types of the fields', () => {
  const strings = ['bn', 'bu', 'n', 'u', 'vs', 'vd'];
  const numbers = ['bt', 'bv', 'bs', 'bver', 'v', 's', 't', 'ut'];
  const wrong: readonly (readonly [string, unknown])[] = [
    ...strings.flatMap((label) =>
      [1, true, null, [], {}].map((value): readonly [string, unknown] => [label, value]),
    ),
    ...numbers.flatMap((label) =>
      ['1', true, null, [], {}].map((value): readonly [string, unknown] => [label, value]),
    ),
    ...['true', 1, 0, null].map((value): readonly [string, unknown] => ['vb', value]),
  ];

  it('tries each of the 15 labels', () => {
    expect(new Set(wrong.map(([label]) => label)).size).toBe(15);
  });

  it.each(wrong)('refuses %s of %j', (label, value) => {
    const sound = label.startsWith('v') ? { n: 'a' } : { n: 'a', v: 1 };
    expect(
      faultOf([
        { n: 'first', v: 1 },
        { ...sound, [label]: value },
      ]),
    ).toMatchObject({
      kind: 'wrong-type',
      record: 1,
      field: label,
    });
  });

  it.each(['aGkgCg==', 'a+/b', 'a b', 'aaaaa', 'é'])(
    'refuses the data value %j: base64url without padding, note (*)',
    (vd) => {
      expect(faultOf([{ n: 'a', vd }])).toMatchObject({ kind: 'wrong-type', field: 'vd' });
    },
  );

  it('accepts data values of every length that base64 has', () => {
    for (const vd of ['', 'aa', 'aaa', 'aaaa', '-_-_AZ09']) {
      expect(onlyRecordOf([{ n: 'a', vd }]).value).toEqual({ kind: 'data', base64url: vd });
    }
  });
});

describe('section 4.4: extensibility and versions', () => {
  it('ignores fields it does not know', () => {
    expect(onlyRecordOf([{ n: 'a', v: 1, x: 1, '3': null, _a: {}, constructor: [] }]).name).toBe(
      'a',
    );
  });

  it.each(['x_', '_', 'bn_', '__proto__'])('refuses the unknown field %s', (label) => {
    const pack = JSON.parse(`[{"n":"a","v":1},{"n":"a","v":1,${JSON.stringify(label)}:1}]`);
    expect(faultOf(pack)).toEqual({
      kind: 'must-understand',
      record: 1,
      found: JSON.stringify(label),
    });
  });

  it('takes 10 for the version where none is given', () => {
    expect(parseSenml([{ n: 'a', v: 1 }], now)).toMatchObject({ value: { version: 10 } });
  });

  it.each([1, 5, 9, 10])('understands version %i', (bver) => {
    expect(parseSenml([{ bver, n: 'a', v: 1 }], now)).toMatchObject({ value: { version: bver } });
  });

  it.each([11, 12, 15, 16, 25, 27, 42, 58, 2 ** 53 - 1])('refuses version %i', (bver) => {
    expect(faultOf([{ bver, n: 'a', v: 1 }])).toMatchObject({
      kind: 'version-not-understood',
      record: 0,
      found: bver,
    });
  });

  it('refuses a version that it does not understand in a record of base fields alone', () => {
    expect(faultOf([{ bver: 11 }])).toMatchObject({ kind: 'version-not-understood' });
  });

  it.each([0, -10, 10.5, 2 ** 53, 1e300])('refuses version %d: a positive integer', (bver) => {
    expect(faultOf([{ bver, n: 'a', v: 1 }])).toMatchObject({ kind: 'wrong-type', field: 'bver' });
  });

  it('RFC 9100 section 4: understands secondary units, feature 4, version 10 + 2**4', () => {
    expect(parseSenml([{ bver: 10 + 2 ** 4, n: 'a', v: 1, u: 'hPa' }], now)).toMatchObject({
      value: { version: 26 },
    });
  });

  it('gives all records of a pack one version', () => {
    expect(
      faultOf([
        { bver: 5, n: 'a', v: 1 },
        { n: 'a', v: 2 },
        { bver: 10, n: 'a', v: 3 },
      ]),
    ).toEqual({ kind: 'version-changed', record: 2, field: 'bver', found: 10, earlier: 5 });
    expect(
      faultOf([
        { n: 'a', v: 1 },
        { bver: 5, n: 'a', v: 3 },
      ]),
    ).toMatchObject({
      kind: 'version-changed',
      record: 1,
      earlier: 10,
    });
    expect(
      recordsOf([
        { n: 'a', v: 1 },
        { bver: 10, n: 'a', v: 3 },
      ]),
    ).toHaveLength(2);
  });
});

describe('section 4.5.1: names', () => {
  it('concatenates base name and name', () => {
    expect(onlyRecordOf([{ bn: 'urn:dev:', n: 'x.y-z_1/q', v: 1 }]).name).toBe('urn:dev:x.y-z_1/q');
  });

  it('does without a name where there is a base name, and the other way round', () => {
    expect(onlyRecordOf([{ bn: 'a', v: 1 }]).name).toBe('a');
    expect(onlyRecordOf([{ n: 'a', v: 1 }]).name).toBe('a');
  });

  it('refuses neither name nor base name', () => {
    expect(faultOf([{ v: 1 }])).toEqual({ kind: 'name-missing', record: 0, field: 'n' });
    expect(faultOf([{ bn: '', n: '', v: 1 }])).toMatchObject({ kind: 'name-missing' });
  });

  it.each([':a', '/a', '-a', '_a', '.a', ' a'])('refuses the name %j by its start', (n) => {
    expect(faultOf([{ n, v: 1 }])).toMatchObject({ kind: 'name-malformed', record: 0 });
  });

  it.each(['a b', 'a\n', 'a,b', 'fässle', 'a%20b', 'a\u0000', 'a\\b', 'a?', 'a\ud800'])(
    'refuses the name %j by its characters',
    (n) => {
      expect(faultOf([{ n, v: 1 }])).toMatchObject({ kind: 'name-malformed', record: 0 });
    },
  );

  it('judges the concatenated name, not its halves', () => {
    expect(onlyRecordOf([{ bn: 'a', n: '/b', v: 1 }]).name).toBe('a/b');
    expect(faultOf([{ bn: '-', n: 'b', v: 1 }])).toMatchObject({ kind: 'name-malformed' });
  });
});

describe('section 4.5.2: units', () => {
  it('uses the base unit where the record has none, and the unit where it has', () => {
    expect(
      recordsOf([
        { bu: 'Cel', n: 'a', v: 1 },
        { u: 'K', n: 'a', v: 1 },
        { n: 'a', v: 1 },
      ]).map(({ unit }) => unit),
    ).toEqual(['Cel', 'K', 'Cel']);
  });

  it('allows neither unit nor base unit', () => {
    expect(onlyRecordOf([{ n: 'a', v: 1 }]).unit).toBeNull();
  });
});

describe('section 4.5.3: time', () => {
  const timeOf = (fields: object): number =>
    onlyRecordOf([{ n: 'a', v: 1, ...fields }]).timeSeconds;

  it('takes a missing base time or time for zero, which is now', () => {
    expect(timeOf({})).toBe(now);
    expect(timeOf({ t: 0 })).toBe(now);
    expect(timeOf({ bt: -60 })).toBe(now - 60);
    expect(timeOf({ bt: -60, t: 20 })).toBe(now - 40);
  });

  it('takes values below 2**28 as relative and from 2**28 as absolute', () => {
    expect(timeOf({ t: 2 ** 28 - 1 })).toBe(now + 2 ** 28 - 1);
    expect(timeOf({ t: 2 ** 28 })).toBe(2 ** 28);
    expect(new Date(2 ** 28 * 1000).toISOString()).toBe('1978-07-04T21:24:16.000Z');
    expect(timeOf({ t: -(2 ** 28) })).toBe(now - 2 ** 28);
  });

  it('decides on the sum of base time and time', () => {
    expect(timeOf({ bt: 2 ** 28 - 1, t: 1 })).toBe(2 ** 28);
    expect(timeOf({ bt: 2 ** 28, t: -1 })).toBe(now + 2 ** 28 - 1);
  });
});

describe('section 4.5.4: values', () => {
  it('adds base value and value', () => {
    expect(onlyRecordOf([{ n: 'a', bv: 20, v: 0.5 }]).value).toEqual({
      kind: 'number',
      number: 20.5,
    });
  });

  it('leaves other kinds of value alone', () => {
    expect(onlyRecordOf([{ n: 'a', bv: 20, vs: 'x' }]).value).toEqual({ kind: 'text', text: 'x' });
  });

  it('adds base sum and sum, and takes a missing one for zero', () => {
    expect(onlyRecordOf([{ n: 'a', bs: 5, s: 2 }]).sum).toBe(7);
    expect(onlyRecordOf([{ n: 'a', bs: 5, v: 2 }]).sum).toBe(5);
    expect(onlyRecordOf([{ n: 'a', s: 2 }]).sum).toBe(2);
  });

  it('has no sum where there is neither', () => {
    expect(onlyRecordOf([{ n: 'a', v: 2 }]).sum).toBeNull();
  });

  it.each([
    ['v', '{"n":"a","v":1e999}'],
    ['t', '{"n":"a","v":1,"t":-1e999}'],
    ['bt', '{"n":"a","v":1,"bt":1e999}'],
    ['ut', '{"n":"a","v":1,"ut":1e999}'],
    ['v', '{"n":"a","bv":1e308,"v":1e308}'],
    ['s', '{"n":"a","bs":-1e308,"s":-1e308}'],
    ['t', '{"n":"a","v":1,"bt":1e308,"t":1e308}'],
  ])('refuses %s where it is too large for a 64-bit float: %s', (field, record) => {
    expect(parseSenmlJson(`[${record}]`, now)).toMatchObject({
      ok: false,
      fault: { kind: 'not-finite', record: 0, field },
    });
  });
});

describe('section 4.6: resolved records', () => {
  it('stand in chronological order, and those of one time in the order of the pack', () => {
    const records = recordsOf([
      { n: 'late', t: 10, v: 1 },
      { n: 'first', t: -10, v: 1 },
      { n: 'second', t: -10, v: 1 },
    ]);
    expect(records.map(({ name }) => name)).toEqual(['first', 'second', 'late']);
    expect(records.map(({ record }) => record)).toEqual([1, 2, 0]);
  });
});

describe('a fault in words', () => {
  const texts = [
    '{',
    '{"n":"a"}',
    '[]',
    '[3]',
    '[{"n":5}]',
    '[{"n":"a","v":1e999}]',
    '[{"n":"a","v":1,"q_":1}]',
    '[{"bver":11,"n":"a","v":1}]',
    '[{"n":"a","v":1},{"bver":5,"n":"a","v":1}]',
    '[{"n":"a"}]',
    '[{"n":"a","v":1,"vb":true}]',
    '[{"v":1}]',
    '[{"n":"-a","v":1}]',
  ];
  const faults = texts.map((text) => {
    const parsed = parseSenmlJson(text, now);
    if (parsed.ok) throw new Error(`expected a fault in ${text}`);
    return parsed.fault;
  });

  it('covers all 13 arms', () => {
    expect(new Set(faults.map(({ kind }) => kind)).size).toBe(13);
  });

  it.each(faults)('$kind: lower case, no final period, says what to do', (fault) => {
    const words = senmlFaultInWords(fault);
    expect(words).toMatch(/^[a-z]/);
    expect(words).not.toMatch(/[.!]$/);
    expect(words).toMatch(/; (send|give|begin)/);
    if ('record' in fault) expect(words).toContain(`record ${fault.record + 1} (#/${fault.record}`);
  });

  it('cuts the offending value and forges no line', () => {
    const long = 'x'.repeat(10_000);
    const fault = faultOf([{ n: `-${long}`, v: 1 }]);
    expect(senmlFaultInWords(fault).length).toBeLessThan(300);
    const forged = senmlFaultInWords(faultOf([{ n: 'a\r\nalarm: all is well\u202e\u2028', v: 1 }]));
    expect(forged).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u);
  });
});
