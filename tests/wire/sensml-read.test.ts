/**
 * SensML, RFC 8428 section 4.8: records are read as soon as they are there, however the stream is cut into pieces.
 * Outside truth: the packs of section 5.1, which read as streams must give what they give as packs.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import examples from '../../fixtures/standards/senml_examples.json' with { type: 'json' };
import { parseSenml, type SenmlRecord } from '../../src/wire/senml.ts';
import { type SensmlFault, sensmlFaultInWords, sensmlReader } from '../../src/wire/sensml-read.ts';

const now = 1_700_000_000;

const readAll = (
  pieces: readonly string[],
): { records: readonly SenmlRecord[]; fault: SensmlFault | null; read: number } => {
  const reader = sensmlReader();
  const records: SenmlRecord[] = [];
  for (const piece of pieces) {
    const step = reader.take(piece, now);
    records.push(...step.records);
    if (step.fault !== null) return { records, fault: step.fault, read: reader.read() };
  }
  return { records, fault: reader.end(), read: reader.read() };
};

const cutAt = (text: string, places: readonly number[]): readonly string[] => {
  const sorted = [0, ...places.map((place) => place % (text.length + 1)), text.length].sort(
    (a, b) => a - b,
  );
  return sorted.slice(1).map((to, index) => text.slice(sorted[index], to));
};

const byPlace = (records: readonly SenmlRecord[]) =>
  records.toSorted((a, b) => a.record - b.record);

describe('section 4.8: a stream', () => {
  it('gives what the same text gives as a pack, however it is cut', () => {
    let compared = 0;
    for (const { json, verbatim } of examples.packs) {
      if (json === null) continue;
      const pack = parseSenml(json, now);
      if (!pack.ok) throw new Error('the RFC prints sound packs');
      fc.assert(
        fc.property(fc.array(fc.nat(), { maxLength: 20 }), (places) => {
          const stream = readAll(cutAt(verbatim, places));
          expect(stream.fault).toBeNull();
          expect(stream.records).toEqual(byPlace(pack.value.records));
        }),
        { numRuns: 30 },
      );
      compared += 1;
    }
    expect(compared).toBe(9);
  });

  it('gives a record with its last brace, before the array is closed', () => {
    const reader = sensmlReader();
    expect(reader.take('[{"bn":"a/","n":"x","v":1', now).records).toEqual([]);
    expect(reader.take('}', now).records).toMatchObject([{ name: 'a/x', value: { number: 1 } }]);
    expect(reader.take(',{"n":"y","v":2}', now + 60).records).toMatchObject([
      { name: 'a/y', timeSeconds: now + 60 },
    ]);
    expect(reader.end()).toEqual({ kind: 'stream-cut', record: 2 });
  });

  it('reads the stream that section 5.1.2 prints up to where the RFC cuts it off', () => {
    const stream = examples.packs.find(({ json }) => json === null)?.verbatim ?? '';
    const { records, fault } = readAll([stream]);
    expect(records).toHaveLength(9);
    expect(records.at(-1)).toMatchObject({
      timeSeconds: 1_320_067_464 + 80,
      value: { number: 21.7 },
    });
    expect(fault).toEqual({ kind: 'between-records', record: 9, found: '"."' });
  });

  it('"now" is when the record was sent', () => {
    const reader = sensmlReader();
    const times = [0, 10, 20].flatMap(
      (later, index) =>
        reader.take(`${index === 0 ? '[' : ','}{"n":"a","v":1,"t":-1}`, now + later).records,
    );
    expect(times.map(({ timeSeconds }) => timeSeconds)).toEqual([now - 1, now + 9, now + 19]);
  });

  it('carries base fields over from record to record, and gives all one version', () => {
    const { records, fault } = readAll([
      '[{"bn":"a/","bt":1.6e9},{"n":"x","v":1},{"bt":1.7e9,"n":"y","v":2},{"bver":11}]',
    ]);
    expect(records.map(({ name, timeSeconds }) => [name, timeSeconds])).toEqual([
      ['a/x', 1_600_000_000],
      ['a/y', 1_700_000_000],
    ]);
    expect(fault).toMatchObject({ kind: 'version-not-understood', record: 3 });
  });
});

describe('a fault', () => {
  const one = '{"n":"a","v":1}';
  it.each<readonly [string, string, SensmlFault['kind'], number]>([
    ['nothing', '', 'stream-cut', 0],
    ['an empty array', '[]', 'empty-pack', 0],
    ['an object', one, 'stream-not-array', 0],
    ['a record that is a number', '[1]', 'between-records', 0],
    ['a record that is an array', '[[1]]', 'between-records', 0],
    ['no comma', `[${one}${one}]`, 'between-records', 1],
    ['two commas', `[${one},,${one}]`, 'between-records', 1],
    ['a comma before the end', `[${one},]`, 'between-records', 1],
    ['text behind the end', `[${one}] []`, 'behind-stream', 1],
    ['an end in the midst of a record', `[${one},{"n":"a"`, 'stream-cut', 1],
    ['an end behind a record', `[${one}`, 'stream-cut', 1],
    ['broken JSON', `[${one},{n:1}]`, 'record-not-json', 1],
    ['brackets that do not match', `[{"n":[}]`, 'record-not-json', 0],
    ['an open quote', `[{"n":"${'a'.repeat(5000)}`, 'record-too-long', 0],
    ['deep nesting', `[{"n":${'['.repeat(5000)}`, 'record-too-long', 0],
    ['no value', `[${one},{"n":"a"}]`, 'value-missing', 1],
    ['a number beyond a double', `[${one},{"n":"a","v":1e999}]`, 'not-finite', 1],
  ])('%s', (_name, text, kind, good) => {
    const { records, fault, read } = readAll([text]);
    expect(fault?.kind).toBe(kind);
    expect(records).toHaveLength(good);
    expect(read).toBe(good);
    expect(sensmlFaultInWords(fault ?? { kind: 'empty-pack' })).toMatch(/; [a-z].*[^.]$/);
  });

  it('ends the reading', () => {
    const reader = sensmlReader();
    expect(reader.take('[?', now).fault).not.toBeNull();
    expect(reader.take(one, now)).toEqual({ records: [], fault: null });
    expect(reader.end()).toBeNull();
  });
});

it('any text at all, in any pieces, gives records or a fault', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.oneof(
          fc.string({ unit: 'binary' }),
          fc.constantFrom('[', '{', '}', ']', ',', '"', '\\', '{"n":"a","v":1}'),
        ),
      ),
      (pieces) => {
        const whole = readAll([pieces.join('')]);
        expect(readAll(pieces)).toEqual(whole);
        expect(whole.read).toBeGreaterThanOrEqual(whole.records.length);
      },
    ),
    { numRuns: 1000 },
  );
});
