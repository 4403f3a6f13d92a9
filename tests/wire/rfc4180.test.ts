/**
 * RFC 4180, CSV, by the numbered rules of section 2 and its grammar, and the guard against formulas
 * after OWASP, "CSV Injection". The reader below is written from the grammar alone, so that the round
 * trip does not prove the writer by itself.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CsvCell, csvFaultInWords, csvMediaType, csvRow } from '../../src/wire/csv-write.ts';

const row = (cells: readonly CsvCell[]): string => {
  const written = csvRow(cells);
  if (!written.ok) throw new Error(csvFaultInWords(written.fault));
  return written.value;
};

/** file = record *(CRLF record) [CRLF]; field = (escaped / non-escaped). Throws on anything else. */
const read = (file: string): readonly (readonly string[])[] => {
  const records: string[][] = [];
  let rest = file;
  while (rest !== '') {
    const fields: string[] = [];
    for (let more = true; more; ) {
      const field = /^(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/.exec(rest);
      if (field === null) throw new Error(`not in the grammar: ${JSON.stringify(rest)}`);
      fields.push(field[1]?.replaceAll('""', '"') ?? field[2] ?? '');
      rest = rest.slice(field[0].length);
      more = field[3] === ',';
    }
    records.push(fields);
  }
  return records;
};

describe('section 2', () => {
  it('rules 1 and 2: each record on its own line, ended by CRLF, the last one too', () => {
    expect(row(['aaa', 'bbb', 'ccc']) + row(['zzz', 'yyy', 'xxx'])).toBe(
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
    );
  });

  it('rule 3 and section 3: says that the first line is a header', () => {
    expect(csvMediaType).toMatch(/^text\/csv;.*header=present/);
  });

  it('rule 4: blanks are part of a field', () => {
    expect(row([' a ', ''])).toBe(' a ,\r\n');
  });

  it('rule 6: encloses line breaks, quotes and commas in quotes', () => {
    expect(row(['aaa', 'b\r\nbb', 'ccc'])).toBe('aaa,"b\r\nbb",ccc\r\n');
    expect(row(['a,b', 'c\nd', 'e\rf'])).toBe('"a,b","c\nd","e\rf"\r\n');
  });

  it('rule 7: doubles a quote within', () => {
    expect(row(['aaa', 'b"bb', 'ccc'])).toBe('aaa,"b""bb",ccc\r\n');
  });

  it('writes what its grammar reads back, whatever the text', () => {
    const text = fc
      .string({ unit: fc.constantFrom('a', 'é', '"', ',', '\r', '\n', '=', '-', "'", ' ', '\t') })
      .filter((cell) => !/^\s*[=-]|^[\t\r\n]/.test(cell));
    const rows = fc.array(fc.array(text, { minLength: 1, maxLength: 5 }), { maxLength: 5 });
    let cells = 0;
    fc.assert(
      fc.property(rows, (sent) => {
        expect(read(sent.map(row).join(''))).toEqual(sent);
        cells += sent.flat().length;
      }),
      { numRuns: 500 },
    );
    expect(cells).toBeGreaterThan(500);
  });

  it('keeps a row of one empty cell from being a blank line', () => {
    expect(row([null])).toBe('""\r\n');
    expect(read(row(['']))).toEqual([['']]);
  });
});

describe('numbers and empty cells', () => {
  it('writes numbers so that they read back to the same bits', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(Number(read(row([value]))[0]?.[0])).toBe(value + 0);
      }),
    );
  });

  it('writes null as an empty cell', () => {
    expect(row(['a', null, 0])).toBe('a,,0\r\n');
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])(
    'refuses %d and names the column',
    (found) => {
      const written = csvRow(['a', found]);
      expect(written).toEqual({ ok: false, fault: { kind: 'not-finite', column: 1, found } });
      if (!written.ok) expect(csvFaultInWords(written.fault)).toContain(`column 2 is ${found}`);
    },
  );

  it('refuses a row without columns, which the grammar has not', () => {
    expect(csvRow([])).toEqual({ ok: false, fault: { kind: 'no-column' } });
  });
});

describe('OWASP, CSV Injection', () => {
  it('writes both examples of the page as it does', () => {
    expect(row(['=1+2";=1+2'])).toBe(`"'=1+2"";=1+2"\r\n`);
    expect(row([`=1+2'" ;,=1+2`])).toBe(`"'=1+2'"" ;,=1+2"\r\n`);
  });

  it.each(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'])(
    'lets no text begin with %j, bare or behind blanks',
    (sign) => {
      for (const before of ['', ' ', '  ', '\u00a0']) {
        const [cell] = read(row([`${before}${sign}cmd|' /C calc'!A0`]))[0] ?? [];
        if (before === '' || !/\s/.test(sign)) expect(cell).toMatch(/^'/);
      }
    },
  );

  it('leaves a negative number a number, and text that only holds a sign alone', () => {
    expect(row([-1.5, 'fv-1', '1.048 = done', 'a@b.example'])).toBe(
      '-1.5,fv-1,1.048 = done,a@b.example\r\n',
    );
  });
});
