/**
 * CSV in. Held against: RFC 4180 section 2 (records), ISO 8601 as the platform's own Date reads it (times), NIST
 * Special Publication 811 (2008) appendix B (factors), and the Plato table of fixtures/published (gravity).
 */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type CsvOptions,
  type CsvRow,
  type CsvUnderstood,
  csvReader,
  csvRows,
} from '../../src/wire/csv-read.ts';
import { csvReadFaultInWords } from '../../src/wire/csv-read-fault.ts';
import { csvRow } from '../../src/wire/csv-write.ts';

type Outcome = {
  readonly rows: readonly CsvRow[];
  readonly faults: readonly string[];
  readonly understood: CsvUnderstood | null;
};

const readPieces = (pieces: readonly string[], options: CsvOptions = {}): Outcome => {
  const reader = csvReader(options);
  const rows: CsvRow[] = [];
  const faults: string[] = [];
  for (const step of csvRows(pieces, reader)) {
    if (step.ok) rows.push(step.value);
    else faults.push(csvReadFaultInWords(step.fault));
  }
  return { rows, faults, understood: reader.understood() };
};

const read = (text: string, options: CsvOptions = {}): Outcome => readPieces([text], options);

/** The one value of a file of one column and one row, as stored; throws on a fault. */
const stored = (heading: string, value: string, separator = ','): number => {
  const { rows, faults } = read(`time${separator}${heading}\n1764057600${separator}${value}\n`);
  const [point] = rows[0]?.points ?? [];
  if (point === undefined) throw new Error(faults.join('; ') || 'no value');
  return point.value;
};

const faultsOf = (text: string, options: CsvOptions = {}): readonly string[] =>
  read(text, options).faults;

const at = (iso: string): number => Date.parse(iso) / 1000;

describe('records, RFC 4180 section 2', () => {
  const wanted = [
    {
      line: 2,
      timeSeconds: 1764057600,
      points: [{ channel: 'temperature', value: 20, column: 2 }],
    },
    {
      line: 3,
      timeSeconds: 1764058500,
      points: [{ channel: 'temperature', value: 20.5, column: 2 }],
    },
  ];

  it.each([
    ['rule 1, line ends CRLF', 'time,temperature (°C)\r\n1764057600,20\r\n1764058500,20.5\r\n'],
    ['rule 2, the last one left out', 'time,temperature (°C)\r\n1764057600,20\r\n1764058500,20.5'],
    ['line ends LF', 'time,temperature (°C)\n1764057600,20\n1764058500,20.5\n'],
    ['line ends CR', 'time,temperature (°C)\r1764057600,20\r1764058500,20.5\r'],
    ['rule 5, fields in quotes', '"time","temperature (°C)"\n"1764057600","20"\n1764058500,"20.5"'],
    ['a byte order mark', '\ufefftime,temperature (°C)\n1764057600,20\n1764058500,20.5\n'],
    ['semicolons', 'time;temperature (°C)\n1764057600;20\n1764058500;20.5\n'],
    ['semicolons and decimal commas', 'time;temperature (°C)\n1764057600;20\n1764058500;20,5\n'],
    ['tabs and decimal commas', 'time\ttemperature (°C)\n1764057600\t20\n1764058500\t20,5\n'],
    ['blanks around values', 'time, temperature (°C)\n1764057600, 20\n 1764058500 , 20.5 \n'],
  ])('%s', (_name, text) => {
    const { rows, faults } = read(text);
    expect(faults).toEqual([]);
    expect(rows).toEqual(wanted);
  });

  it('rules 6 and 7: a quoted field holds separators, quotes and line breaks, and lines go on being counted', () => {
    const { rows, faults } = read(
      'time,"remark, ""free""",temperature (°C)\n1764057600,"two\r\nlines, ""one"" field",20\n1764058500,,x\n',
      { leaveOut: ['remark, "free"'] },
    );
    expect(rows.map(({ line }) => line)).toEqual([2]);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(
      /^line 4, column 3, "temperature \(°C\)", has "x", which is no number/,
    );
  });

  it('reads the same however the text is cut into pieces', () => {
    const text =
      '\ufefftime;"temperature (°C)";remark\r\n1764057600;20,5;"a;b"\r\n\r\n1764058500;;"c\r\n""d"""\r\n1764059400;x;\r\n1764060300;21,0;last';
    const whole = read(text, { leaveOut: ['remark'] });
    expect(whole.rows).toHaveLength(3);
    expect(whole.faults).toHaveLength(1);
    fc.assert(
      fc.property(fc.array(fc.nat(text.length), { maxLength: 12 }), (cuts) => {
        const places = [0, ...cuts.toSorted((a, b) => a - b), text.length];
        const pieces = places.slice(1).map((end, index) => text.slice(places[index], end));
        expect(readPieces(pieces, { leaveOut: ['remark'] })).toEqual(whole);
      }),
      { numRuns: 300 },
    );
  });

  it('reads back to the bit what the writer of this project writes', () => {
    const temperature = fc.double({ min: -40, max: 130, noNaN: true });
    const remark = fc.string({ unit: fc.constantFrom('a', '"', ',', '\r', '\n', ';') });
    let rows = 0;
    fc.assert(
      fc.property(fc.array(fc.tuple(temperature, remark), { minLength: 1 }), (sent) => {
        const lines = [
          ['time', 'remark', 'temperature (°C)'],
          ...sent.map(([value, words], index) => [1764057600 + index, words, value]),
        ].map((cells) => {
          const line = csvRow(cells);
          if (!line.ok) throw new Error('not written');
          return line.value;
        });
        const got = read(lines.join(''), { leaveOut: ['remark'] });
        expect(got.faults).toEqual([]);
        expect(got.rows.map(({ points }) => points[0]?.value)).toEqual(
          sent.map(([value]) => value + 0),
        );
        rows += got.rows.length;
      }),
    );
    expect(rows).toBeGreaterThan(300);
  });

  it.each([
    ['time,ph\n1764057600,"4.1"x\n', /^line 2, column 2 has text behind its closing quote; write/],
    ['time,ph\n1764057600,4"1\n', /^line 2, column 2 has a quote inside a field/],
    [
      'time,ph\n1764057600,4.1\n1764057601,"4.2\n1764057602,4.3\n',
      /^line 3, column 2 begins with a quote that is never closed/,
    ],
    ['time,ph\n1764057600,4.1,\n', /^line 2 has 3 fields where the header has 2; give/],
    ['time,ph\n1764057600\n', /^line 2 has 1 field where the header has 2; give/],
    ['time,gravity (SG)\n1764057600,1,052\n', /decimal comma needs semicolons or tabs/],
    ['', /^the file is empty; begin it/],
    [`time,ph\n1764057600,${'4'.repeat(70_000)}\n`, /^line 2 is longer than 65536 characters/],
  ])('refuses what the grammar has no place for: %j', (text, words) => {
    const faults = faultsOf(text);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(words);
  });

  it('loses no row before a quote that is never closed, and tells of it', () => {
    const { rows, faults } = read('time,ph\n1764057600,4.1\n1764058500,"4.2\n1764059400,4.3\n');
    expect(rows).toHaveLength(1);
    expect(faults).toHaveLength(1);
  });

  it('passes over blank lines and lines of separators alone, and counts them', () => {
    const { rows, understood } = read('time,ph\n\n1764057600,4.1\n,\n  , \n1764057700,4.2\n\n');
    expect(rows.map(({ line }) => line)).toEqual([3, 6]);
    expect(understood?.blankLines).toBe(4);
  });

  it('bears a separator at the end of each line, but no value behind it', () => {
    expect(read('time,ph,\n1764057600,4.1,\n').rows).toHaveLength(1);
    expect(faultsOf('time,ph,\n1764057600,4.1,7\n')[0]).toMatch(
      /^line 2, column 3 has "7" in a column without a heading/,
    );
  });
});

describe('headings', () => {
  it('knows each quantity by a plain name and its unit', () => {
    const { understood, faults } = read(
      'time,temperature (°C),gravity (SG),density (kg/m3),head pressure (bar),absolute pressure (kPa),gas flow (L/h),pH,carbon dioxide (ppm),oxygen (% vol),humidity (%RH),mass (kg)\n',
    );
    expect(faults).toEqual([]);
    expect(
      understood?.columns.map((column) =>
        column.kind === 'channel' ? `${column.channel} ${column.unit.symbol}` : column.kind,
      ),
    ).toEqual([
      'time',
      'temperature °C',
      'gravity SG',
      'density kg/m3',
      'gauge-pressure bar',
      'absolute-pressure kPa',
      'gas-flow L/h',
      'ph pH',
      'carbon-dioxide ppm',
      'oxygen % vol',
      'humidity %RH',
      'mass kg',
    ]);
  });

  it.each([
    'Temperature (°C)',
    'temperature [°C]',
    'TEMPERATURE  ( C )',
    'temperature (º C)'.replace(' C', 'C'),
    'temperature (degC)',
  ])('takes %j for the same', (heading) => {
    expect(stored(heading, '20.5')).toBe(20.5);
  });

  it.each([
    [
      'time,temp (°C)',
      /^line 1, column 2, is headed "temp \(°C\)", which is no quantity .* rename it to one of time, temperature/,
    ],
    ['time,temperature', /without a unit; put one of °C, °F, K in brackets/],
    ['time,temperature (X)', /with the unit "X"; use one of °C, °F, K$/],
    ['time,temperature (\ufffdC)', /a character is damaged: save the file as UTF-8/],
    ['time,gravity', /without a unit; put one of SG, °P/],
    ['time,gravity (°Bx)', /refractometer reads, and alcohol falsifies it/],
    ['time,pressure (bar)', /does not say against what; head it head pressure/],
    ['time,head pressure (psia)', /says absolute; head the column absolute pressure/],
    ['time,absolute pressure (psig)', /says gauge; head the column head pressure/],
    ['time,time,pH', /^line 1, column 2, is headed "time", as column 1 is; join/],
    ['time (CET),pH', /with the zone "CET"; write UTC or the offset/],
    ['temperature (°C),pH', /^line 1 heads no column "time"/],
    ['time,', /^line 1 heads no column but time/],
    [
      '1764057600,4.1',
      /^line 1, column 1, is headed "1764057600", which is a value; put a line of headings first/,
    ],
    ['2026-11-25 09:30,4.1', /which is a value; put a line of headings first/],
  ])('refuses %j and says what to do', (header, words) => {
    const faults = faultsOf(`${header}\n1764057600,4.1\n`);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(words);
  });

  it('tells all that is wrong with a header at once', () => {
    expect(faultsOf('time,temp (°C),gravity,battery (V)\n')).toHaveLength(3);
  });

  it('leaves out what it is told to, and minds a name that is not there', () => {
    const file = 'time,battery (V),pH\n1764057600,low,4.1\n';
    expect(faultsOf(file)).toHaveLength(1);
    expect(read(file, { leaveOut: ['battery (V)'] })).toMatchObject({
      faults: [],
      rows: [{ points: [{ channel: 'ph', value: 4.1, column: 3 }] }],
    });
    expect(faultsOf(file, { leaveOut: ['battery (V)', 'batery'] })[0]).toMatch(
      /^no column is headed "batery", which was to be left out/,
    );
  });

  it('takes two columns of one quantity, but not two values in one row', () => {
    const header = 'time,gravity (SG),gravity (points)\n';
    expect(
      read(`${header}1764057600,1.05,\n1764057700,,49\n`).rows.map((row) => row.points),
    ).toEqual([
      [{ channel: 'gravity', value: 1.05, column: 2 }],
      [{ channel: 'gravity', value: 1.049, column: 3 }],
    ]);
    expect(faultsOf(`${header}1764057600,1.05,50\n`)[0]).toMatch(
      /^line 2, column 3, "gravity \(points\)", has "50", a second value for what column 2 gives/,
    );
  });
});

describe('units', () => {
  /** A pound-force, by the pound and standard gravity, on a square inch: exact by definition. */
  const psi = (value: number): number => (value * 0.45359237 * 9.80665) / 0.0254 ** 2;

  /** NIST SP 811, appendix B.8; the pressures are gauge on both sides. */
  it.each([
    ['temperature (°F)', '68', 20],
    ['temperature (K)', '293.15', 20],
    ['head pressure (bar)', '0.85', 85_000],
    ['head pressure (PSI)', '14.5', psi(14.5)],
    ['head pressure (psig)', '14.5', psi(14.5)],
    ['absolute pressure (bar(a))', '1.5', 150_000],
    ['head pressure (kPa)', '85', 85_000],
    ['head pressure (mmHg)', '100', 13_332.2387415],
    ['gas flow (L/h)', '36', 1e-5],
    ['gas flow (mL/min)', '600', 1e-5],
    ['density (g/cm3)', '1.0463', 1046.3],
    ['oxygen (% vol)', '20.9', 0.209],
    ['mass (lb)', '100', 45.359237],
  ])('%s %s', (heading, value, wanted) => {
    expect(Math.abs(stored(heading, value) / wanted - 1)).toBeLessThan(1e-11);
  });

  it('turns °P into gravity as the Plato table has it', () => {
    const [, ...lines] = readFileSync('fixtures/published/plato_sg_table_0_30.csv', 'utf8')
      .trim()
      .split('\n');
    let compared = 0;
    for (const line of lines) {
      const [plato = '', , , , , , inverse = ''] = line.split(',');
      // The inverse of the ASBC cubic, worked out by other code and printed to six decimals.
      expect(Math.abs(stored('gravity (°P)', plato) - Number(inverse))).toBeLessThan(6e-7);
      compared += 1;
    }
    expect(compared).toBe(34);
  });

  it.each([
    [
      'temperature (°F)',
      '500',
      /^line 2, column 2, "temperature \(°F\)", has "500", outside -40 to 266 °F; check/,
    ],
    ['gravity (SG)', '12.5', /outside 0\.95 to 1\.25 SG/],
    ['gravity (°P)', '1.050', null],
    ['gravity (°P)', '60', /outside -\d+(?:\.\d+)? to 38\.\d+ °P/],
    ['pH', '15', /outside 0 to 14 pH/],
    ['head pressure (bar)', '85', /outside -1\.01325 to 20 bar/],
  ])('%s %s stands inside its bounds or is refused in its own unit', (heading, value, words) => {
    const faults = faultsOf(`time,${heading}\n1764057600,${value}\n`);
    expect(faults).toHaveLength(words === null ? 0 : 1);
    if (words !== null) expect(faults[0]).toMatch(words);
  });
});

describe('numbers', () => {
  it.each([
    ['1.05e0', 1.05],
    ['+1.05', 1.05],
    ['1.', 1],
    ['0.99', 0.99],
  ])('reads %s', (text, wanted) => {
    expect(stored('gravity (SG)', text)).toBe(wanted);
  });

  it('reads a true minus sign', () => {
    expect(stored('temperature (°C)', '\u22121.5')).toBe(-1.5);
  });

  it.each([
    ['20.5 °C', /has "20.5 °C", which is no number; write the bare number/],
    ['NaN', /which is no number/],
    ['n/a', /which is no number/],
    ['0x10', /which is no number/],
    ['1e999', /which is no number/],
    ['1 234', /which groups its digits/],
    ["1'234.5", /which groups its digits/],
    ['"1,5"', /which has a decimal comma in a file whose columns commas part/],
  ])('refuses %s', (text, words) => {
    expect(faultsOf(`time,temperature (°C)\n1764057600,${text}\n`)[0]).toMatch(words);
  });

  it('keeps a file to one decimal mark', () => {
    const [fault] = faultsOf('time;pH\n1764057600;4,1\n1764057700;4.2\n');
    expect(fault).toMatch(
      /^line 3, column 2, "pH", has "4.2", whose decimal mark is not the "," of line 2/,
    );
    expect(read('time;pH\n1764057600;4,1\n1764057700;4\n').understood?.decimalMark).toBe(',');
  });
});

describe('times', () => {
  it('reads ISO 8601 as the platform does, with any zone', () => {
    const moment = fc.date({
      min: new Date('2000-01-02T00:00:00Z'),
      max: new Date('2199-12-31T00:00:00Z'),
      noInvalidDate: true,
    });
    const zone = fc.constantFrom('Z', '+01:00', '-05:00', '+05:45', '-0330', '+13', 'z');
    let compared = 0;
    fc.assert(
      fc.property(moment, zone, fc.constantFrom('T', ' '), (date, offset, between) => {
        const local = date.toISOString().slice(0, 23).replace('T', between);
        const full = /^[+-]\d{2}$/.test(offset)
          ? `${offset}:00`
          : offset.replace(/^([+-]\d{2})(\d{2})$/, '$1:$2').toUpperCase();
        const { rows, faults } = read(`time,pH\n${local}${offset},4\n`);
        expect(faults).toEqual([]);
        const wanted = at(`${date.toISOString().slice(0, 23)}${full}`);
        expect(rows[0]?.timeSeconds).toBeCloseTo(wanted, 6);
        compared += 1;
      }),
      { numRuns: 400 },
    );
    expect(compared).toBe(400);
  });

  it('takes a time without a zone in the zone of the heading, else of the caller, else in UTC, and says so', () => {
    const time = (heading: string, options: CsvOptions = {}) =>
      read(`${heading},pH\n2026-11-25 09:30,4\n`, options);
    expect(time('time').rows[0]?.timeSeconds).toBe(at('2026-11-25T09:30:00Z'));
    expect(time('time').understood).toMatchObject({ rowsWithoutZone: 1, assumedOffsetSeconds: 0 });
    expect(time('time', { zoneOffsetSeconds: 3600 }).rows[0]?.timeSeconds).toBe(
      at('2026-11-25T09:30:00+01:00'),
    );
    const headed = time('time (UTC-05:00)', { zoneOffsetSeconds: 3600 });
    expect(headed.rows[0]?.timeSeconds).toBe(at('2026-11-25T09:30:00-05:00'));
    expect(headed.understood).toMatchObject({ rowsWithoutZone: 1, assumedOffsetSeconds: -18_000 });
    expect(
      read('time,pH\n2026-10-25T02:30+02:00,4\n2026-10-25T02:30+01:00,4\n').understood,
    ).toMatchObject({ rowsWithoutZone: 0, offsetsSeconds: [7200, 3600] });
  });

  it.each([
    ['25.11.2026 09:30', /in which day and month cannot be told apart; write year, month, day/],
    ['11/25/26', /in which day and month cannot be told apart/],
    ['2026-11-25', /which has no time of day/],
    ['09:30', /which has no date; join date and time of day/],
    ['yesterday', /which is no time; write it as 2026-11-25 09:30 or in Unix seconds/],
    ['2026-02-29 09:30', /which the calendar or the clock does not have/],
    ['2026-11-25 24:00', /which the calendar or the clock does not have/],
    ['2026-11-25 09:30+15:00', /which the calendar or the clock does not have/],
    ['1764057600000', /in seconds lies beyond the year 5000; divide milliseconds by 1000/],
    ['46351.4', /which lies before 2000-01-01T00:00:00Z/],
    ['', /^line 2, column 1, "time", is blank; give every row a time/],
  ])('refuses %j and says what to do', (time, words) => {
    const faults = faultsOf(`time,pH\n${time},4.1\n`);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(words);
  });

  it('reads a leap day and refuses one that is none', () => {
    expect(read('time,pH\n2028-02-29 00:00Z,4\n').rows[0]?.timeSeconds).toBe(
      at('2028-02-29T00:00:00Z'),
    );
    expect(read('time,pH\n2000-02-29 00:00Z,4\n').rows).toHaveLength(1);
    expect(faultsOf('time,pH\n2100-02-29 00:00Z,4\n')).toHaveLength(1);
  });

  it('keeps a file to one form of time, and to the bounds that the caller sets', () => {
    expect(faultsOf('time,pH\n1764057600,4\n2026-11-25 09:30,4\n')[0]).toMatch(
      /^line 3, column 1, "time", has "2026-11-25 09:30", where line 2 has Unix seconds/,
    );
    expect(faultsOf('time,pH\n1764057600,4\n', { latestTime: 1764057599 })[0]).toMatch(
      /which lies after 2025-11-25T07:59:59Z; correct the time/,
    );
    expect(read('time,pH\n1764057600,4\n', { latestTime: 1764057600 }).rows).toHaveLength(1);
  });

  it('gives rows in the order of the file, and the span over all of them', () => {
    const { rows, understood } = read('time,pH\n1764057900,4\n1764057600,\n1764058200,4.2\n');
    expect(rows.map(({ timeSeconds }) => timeSeconds)).toEqual([
      1764057900, 1764057600, 1764058200,
    ]);
    expect(understood).toMatchObject({ rows: 3, span: [1764057600, 1764058200], values: [0, 2] });
  });
});

describe('whatever comes', () => {
  it('never throws, gives no number that is not finite, and tells each fault with its line', () => {
    const piece = fc.string({
      unit: fc.constantFrom(
        'time',
        'pH',
        'gravity (°P)',
        'temperature (°F)',
        ',',
        ';',
        '\t',
        '\n',
        '\r',
        '"',
        '1',
        '.',
        '-',
        ' ',
        '1764057600',
        '2026-11-25 09:30',
        '\ufeff',
        'x',
        '9999',
      ),
      maxLength: 40,
    });
    let seen = 0;
    fc.assert(
      fc.property(piece, fc.boolean(), (text, headed) => {
        const { rows, faults } = read(headed ? `time,pH,gravity (°P)\n${text}` : text);
        for (const { timeSeconds, points } of rows) {
          expect(Number.isFinite(timeSeconds)).toBe(true);
          for (const { value } of points) expect(Number.isFinite(value)).toBe(true);
        }
        for (const fault of faults) expect(fault).toMatch(/^(?:line \d+|the file is empty)/);
        seen += rows.length + faults.length;
      }),
      { numRuns: 2000 },
    );
    expect(seen).toBeGreaterThan(2000);
  });
});
