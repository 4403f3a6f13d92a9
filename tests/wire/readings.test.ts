/**
 * From resolved SenML records to readings. Outside truth: the unit registries of RFC 8428
 * section 12.1 and RFC 8798 (fixtures/standards/senml_units.json). Bounds, names and times are
 * Gyleward's own rules.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import units from '../../fixtures/standards/senml_units.json' with { type: 'json' };
import { channelNames, channels } from '../../src/science/units/channel.ts';
import { acceptedUnits, toStoredUnit } from '../../src/wire/channel-units.ts';
import { type ReadingFault, readingFaultInWords } from '../../src/wire/reading-fault.ts';
import { isVesselName, type Reading, readingsOf } from '../../src/wire/readings.ts';
import { parseSenml, type SenmlRecord } from '../../src/wire/senml.ts';
import { senmlFaultInWords } from '../../src/wire/senml-fault.ts';

/** 2026-11-01T06:00:00Z. */
const now = 1_793_512_800;

const recordsOf = (pack: unknown): readonly SenmlRecord[] => {
  const parsed = parseSenml(pack, now);
  if (!parsed.ok) throw new Error(senmlFaultInWords(parsed.fault));
  return parsed.value.records;
};

const taken = (pack: unknown): readonly Reading[] => {
  const readings = readingsOf(recordsOf(pack), { now });
  if (!readings.ok) throw new Error(readingFaultInWords(readings.fault));
  return readings.value;
};

const refused = (pack: unknown): ReadingFault => {
  const readings = readingsOf(recordsOf(pack), { now });
  if (readings.ok) throw new Error('expected a fault');
  return readings.fault;
};

const warm = { n: 'fv-1/temperature', u: 'Cel', v: 19.5 };

describe('a reading', () => {
  it('is vessel, channel, time and value, with the record it came from', () => {
    expect(
      taken([
        { bn: 'fv-1/', bt: now - 60 },
        { n: 'temperature', u: 'Cel', v: 19.5 },
      ]),
    ).toEqual([{ vessel: 'fv-1', channel: 'temperature', time: now - 60, value: 19.5, record: 1 }]);
  });

  it('is taken from every channel in its stored unit, at both bounds', () => {
    let tried = 0;
    for (const channel of channelNames) {
      const { unit, lowest, highest } = channels[channel];
      for (const v of [lowest, highest]) {
        expect(taken([{ n: `fv-1/${channel}`, u: unit, v }])).toMatchObject([
          { channel, value: v },
        ]);
        tried += 1;
      }
    }
    expect(tried).toBe(22);
  });

  it('comes in chronological order', () => {
    const times = taken([
      { ...warm, t: -10 },
      { ...warm, t: -30 },
      { ...warm, t: -20 },
    ]).map(({ time }) => time);
    expect(times).toEqual([now - 30, now - 20, now - 10]);
  });
});

describe('the name', () => {
  it.each(['temperature', 'cellar/fv-1/temperature', 'fv-1/temperature/', 'a/b/c/d'])(
    'refuses %s: not vessel and channel',
    (n) => {
      expect(refused([warm, { ...warm, n }])).toEqual({
        kind: 'name-not-two-parts',
        record: 1,
        found: JSON.stringify(n),
      });
    },
  );

  it.each(['FV-1', 'fv_1', 'fv.1', 'urn:dev:fv', 'x'.repeat(64)])(
    'refuses the vessel %s',
    (vessel) => {
      expect(refused([{ ...warm, n: `${vessel}/temperature` }])).toMatchObject({
        kind: 'vessel-malformed',
      });
    },
  );

  it.each(['0', 'a', 'fv-1', '7-', 'x'.repeat(63)])('takes the vessel %s', (vessel) => {
    expect(isVesselName(vessel)).toBe(true);
    expect(taken([{ ...warm, n: `${vessel}/temperature` }])[0]?.vessel).toBe(vessel);
  });

  it.each(['', '-a', 'a b', 'é', 'a\n'])('is no vessel: %j', (vessel) => {
    expect(isVesselName(vessel)).toBe(false);
  });

  it.each(['Temperature', 'temp', 'constructor', '__proto__', ''])(
    'refuses the channel %j and lists those there are',
    (channel) => {
      const fault = refused([{ ...warm, n: `fv-1/${channel}` }]);
      expect(fault).toMatchObject({ kind: 'channel-unknown', record: 0 });
      for (const known of channelNames) expect(readingFaultInWords(fault)).toContain(known);
    },
  );

  it('says of a bare pressure which two there are', () => {
    const fault = refused([{ n: 'keg-2/pressure', u: 'Pa', v: 1e5 }]);
    expect(fault).toEqual({ kind: 'bare-pressure', record: 0 });
    expect(readingFaultInWords(fault)).toMatch(/gauge-pressure .* absolute-pressure/);
  });
});

describe('the value', () => {
  it.each([
    ['vs', 'warm'],
    ['vb', true],
    ['vd', 'aGkg'],
  ])('refuses %s', (field, sent) => {
    expect(refused([{ n: 'fv-1/temperature', u: 'Cel', [field]: sent }])).toMatchObject({
      kind: 'value-not-numeric',
      field,
    });
  });

  it('refuses a sum alone, and takes a value beside a sum', () => {
    expect(refused([{ n: 'fv-1/gas-flow', u: 'm3/s', s: 1 }])).toMatchObject({
      kind: 'value-missing',
    });
    expect(taken([{ n: 'fv-1/gas-flow', u: 'm3/s', v: 1e-5, s: 1 }])).toHaveLength(1);
  });

  it('refuses what no such channel can physically be', () => {
    let tried = 0;
    for (const channel of channelNames) {
      const { unit, lowest, highest } = channels[channel];
      for (const v of [lowest - 1, highest + 1, -1e308, 1e308]) {
        expect(refused([{ n: `fv-1/${channel}`, u: unit, v }])).toMatchObject({
          kind: 'value-out-of-range',
          channel,
          found: v,
          lowest,
          highest,
        });
        tried += 1;
      }
    }
    expect(tried).toBe(44);
  });

  it('judges the bounds in the stored unit', () => {
    expect(refused([{ n: 'fv-1/temperature', u: 'K', v: 20 }])).toMatchObject({
      kind: 'value-out-of-range',
      found: -253.15,
      unit: 'Cel',
    });
    expect(taken([{ n: 'fv-1/temperature', u: 'K', v: 293.15 }])).toMatchObject([{ value: 20 }]);
  });

  it('refuses NaN, should a caller other than the parser bring one', () => {
    const [record] = recordsOf([warm]);
    if (record === undefined) throw new Error('expected a record');
    const broken: SenmlRecord = { ...record, value: { kind: 'number', number: Number.NaN } };
    expect(readingsOf([broken], { now })).toMatchObject({ fault: { kind: 'value-out-of-range' } });
    const timeless: SenmlRecord = { ...record, timeSeconds: Number.NaN };
    expect(readingsOf([timeless], { now })).toMatchObject({ fault: { kind: 'time-too-early' } });
  });
});

describe('the unit', () => {
  it('is a symbol of the registries, for every channel', () => {
    const registered = new Set([
      ...units.primary_rfc8428.map(([symbol]) => symbol),
      ...units.primary_rfc8798_extra,
      ...Object.keys(units.secondary_rfc8798),
    ]);
    let looked = 0;
    for (const channel of channelNames) {
      expect(acceptedUnits(channel)).toContain(channels[channel].unit);
      for (const unit of acceptedUnits(channel)) {
        expect(registered).toContain(unit);
        looked += 1;
      }
    }
    expect(looked).toBe(23);
  });

  it('converts as the secondary registry says: value × scale + offset (RFC 8798 section 3)', () => {
    const secondary: Readonly<Record<string, readonly (string | number)[]>> =
      units.secondary_rfc8798;
    const factor = (text: string | number | undefined): number => {
      const [numerator, denominator = '1'] = String(text).split('/');
      return Number(numerator) / Number(denominator);
    };
    /** The value in the primary unit that the registry derives a secondary unit from. */
    const inPrimary = (unit: string, value: number): readonly [string, number] => {
      const entry = secondary[unit];
      return entry === undefined
        ? [unit, value]
        : [String(entry[0]), value * factor(entry[1]) + Number(entry[2])];
    };
    const kilo = { g: 'kg', 'l/s': 'm3/s' } as const;
    let compared = 0;
    for (const channel of channelNames) {
      const stored = channels[channel].unit;
      for (const unit of acceptedUnits(channel)) {
        if (unit === 'K' || unit in kilo) continue;
        const converted = toStoredUnit(channel, unit, 3.7);
        expect(converted).not.toBeNull();
        const [sentPrimary, sentValue] = inPrimary(unit, 3.7);
        const [storedPrimary, storedValue] = inPrimary(stored, converted ?? 0);
        expect(sentPrimary).toBe(storedPrimary);
        // One rounding to 12 digits and two of binary arithmetic: 1e-11 holds both.
        expect(Math.abs(storedValue / sentValue - 1)).toBeLessThan(1e-11);
        compared += 1;
      }
    }
    expect(compared).toBe(20);
  });

  it('converts kelvin, gram and litre by their definitions (BIPM SI brochure, 9th edition)', () => {
    expect(toStoredUnit('temperature', 'K', 273.15)).toBe(0);
    expect(toStoredUnit('temperature', 'K', 277.15)).toBe(4);
    expect(toStoredUnit('temperature', 'K', 273.151)).toBe(0.001);
    expect(toStoredUnit('mass', 'g', 19_500)).toBe(19.5);
    expect(toStoredUnit('gas-flow', 'l/s', 0.25)).toBe(0.00025);
  });

  it('leaves no noise of binary arithmetic', () => {
    expect(1024.1 * 100).not.toBe(102_410);
    expect(toStoredUnit('absolute-pressure', 'hPa', 1024.1)).toBe(102_410);
    expect(toStoredUnit('carbon-dioxide', '/', 0.00041)).toBe(410);
    expect(10.3 * 1e-2).not.toBe(0.103);
    expect(toStoredUnit('oxygen', '/100', 10.3)).toBe(0.103);
    expect(toStoredUnit('gravity', '/1000', 1048)).toBe(1.048);
  });

  it('keeps a value in the stored unit as it is, to the last bit', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...channelNames),
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        (channel, value) => {
          expect(toStoredUnit(channel, channels[channel].unit, value)).toBe(value);
        },
      ),
    );
  });

  it('converts without turning the order of values round', () => {
    const pairs = channelNames.flatMap((channel) =>
      acceptedUnits(channel).map((unit) => [channel, unit] as const),
    );
    const finite = fc.double({ noNaN: true, min: -1e9, max: 1e9 });
    fc.assert(
      fc.property(fc.constantFrom(...pairs), finite, finite, ([channel, unit], one, other) => {
        const low = toStoredUnit(channel, unit, Math.min(one, other)) ?? Number.NaN;
        const high = toStoredUnit(channel, unit, Math.max(one, other)) ?? Number.NaN;
        expect(low).toBeLessThanOrEqual(high);
      }),
    );
  });

  it('is asked for where it is missing', () => {
    expect(refused([{ n: 'fv-1/temperature', v: 20 }])).toEqual({
      kind: 'unit-missing',
      record: 0,
      channel: 'temperature',
      accepted: ['Cel', 'K'],
    });
    expect(refused([{ n: 'fv-1/temperature', u: '', v: 20 }])).toMatchObject({
      kind: 'unit-missing',
    });
  });

  it.each([
    ['temperature', 'degF'],
    ['temperature', 'cel'],
    ['gauge-pressure', 'bar'],
    ['gauge-pressure', 'psi'],
    ['gravity', 'kg/m3'],
    ['density', '/'],
    ['humidity', '/'],
    ['ph', '/'],
    ['temperature', 'toString'],
  ])('refuses %s in %s and names what it accepts', (channel, u) => {
    const fault = refused([{ n: `fv-1/${channel}`, u, v: 1 }]);
    expect(fault).toMatchObject({ kind: 'unit-not-accepted', found: JSON.stringify(u) });
    if (!('accepted' in fault)) throw new Error('expected the accepted units');
    expect(fault.accepted.length).toBeGreaterThan(0);
    for (const unit of fault.accepted) expect(readingFaultInWords(fault)).toContain(unit);
  });

  it('refuses %, which the registry defines as the plain ratio', () => {
    const fault = refused([{ n: 'room/oxygen', u: '%', v: 20.9 }]);
    expect(fault).toMatchObject({ kind: 'percent-sign', channel: 'oxygen' });
    expect(readingFaultInWords(fault)).toContain('/100');
    expect(units.primary_rfc8428.find(([symbol]) => symbol === '%')?.[1]).toMatch(/^1 \(ratio/);
  });
});

describe('the time', () => {
  it('may be five minutes ahead, and not more', () => {
    expect(taken([{ ...warm, t: now + 300 }])).toHaveLength(1);
    expect(refused([{ ...warm, t: now + 300.5 }])).toMatchObject({
      kind: 'time-ahead',
      found: now + 300.5,
      now,
    });
  });

  it('refuses next year', () => {
    const fault = refused([{ ...warm, t: now + 365 * 86_400 }]);
    expect(readingFaultInWords(fault)).toContain('2027-11-01T06:00:00Z');
    expect(readingFaultInWords(fault)).toContain('2026-11-01T06:00:00Z');
  });

  it('refuses a clock that counts from 1970, which SenML can only take for "from now on"', () => {
    const fault = refused([{ ...warm, t: 86_400 }]);
    expect(fault).toMatchObject({ kind: 'time-ahead', found: now + 86_400 });
    expect(readingFaultInWords(fault)).toContain('2**28');
  });

  it('refuses a time before 2000, and takes 2000 itself', () => {
    expect(taken([{ ...warm, t: 946_684_800 }])).toHaveLength(1);
    expect(readingFaultInWords(refused([{ ...warm, t: 946_684_799 }]))).toContain(
      '1999-12-31T23:59:59Z, before 2000-01-01T00:00:00Z',
    );
    expect(refused([{ ...warm, t: 2 ** 28 }])).toMatchObject({ kind: 'time-too-early' });
    expect(refused([{ ...warm, t: -now }])).toMatchObject({ kind: 'time-too-early', found: 0 });
  });

  it('shows a time that no calendar has as seconds', () => {
    expect(readingFaultInWords(refused([{ ...warm, t: 1e300 }]))).toContain('1e+300 s from 1970');
  });

  it('has limits that can be set', () => {
    const records = recordsOf([
      { ...warm, t: now + 3600 },
      { ...warm, t: now - 3600 },
    ]);
    expect(readingsOf(records, { now, furthestAheadSeconds: 3600 }).ok).toBe(true);
    expect(
      readingsOf(records, { now, furthestAheadSeconds: 3600, earliestTime: now }),
    ).toMatchObject({ fault: { kind: 'time-too-early', earliestTime: now, record: 1 } });
  });
});

describe('one pack', () => {
  it('keeps a reading that is given twice with the same value once', () => {
    const twice = taken([warm, { ...warm, n: 'fv-2/temperature' }, warm]);
    expect(twice.map(({ vessel }) => vessel)).toEqual(['fv-1', 'fv-2']);
  });

  it('takes one value in two units for the same value', () => {
    expect(
      taken([
        { ...warm, v: 20 },
        { ...warm, u: 'K', v: 293.15 },
      ]),
    ).toHaveLength(1);
  });

  it('refuses two values for one time', () => {
    expect(refused([warm, { ...warm, n: 'fv-1/ph', u: 'pH', v: 4 }, { ...warm, v: 19.6 }])).toEqual(
      {
        kind: 'contradiction',
        record: 2,
        earlierRecord: 0,
        vessel: 'fv-1',
        channel: 'temperature',
        time: now,
        found: 19.6,
        earlier: 19.5,
      },
    );
  });

  it('is refused with the first fault in the order in which it was sent', () => {
    const pack = [
      { ...warm, t: -1 },
      { ...warm, u: 'bar', t: -2 },
      { ...warm, n: 'x', t: -3 },
    ];
    expect(refused(pack)).toMatchObject({ kind: 'unit-not-accepted', record: 1 });
  });
});

describe('a fault in words', () => {
  const packs: readonly unknown[] = [
    [{ ...warm, n: 'a/b/c' }],
    [{ ...warm, n: 'A/temperature' }],
    [{ ...warm, n: 'a/pressure' }],
    [{ ...warm, n: 'a/b' }],
    [{ n: 'a/ph', u: 'pH', s: 1 }],
    [{ n: 'a/ph', u: 'pH', vb: true }],
    [{ n: 'a/ph', v: 4 }],
    [{ n: 'a/oxygen', u: '%', v: 4 }],
    [{ n: 'a/ph', u: 'Cel', v: 4 }],
    [{ n: 'a/ph', u: 'pH', v: 40 }],
    [{ ...warm, t: 1e6 }],
    [{ ...warm, t: -2e9 }],
    [warm, { ...warm, v: 1 }],
  ];
  const faults = packs.map(refused);

  it('covers all 13 arms', () => {
    expect(new Set(faults.map(({ kind }) => kind)).size).toBe(13);
  });

  it.each(faults)(
    '$kind: lower case, no final period, names the record, says what to do',
    (fault) => {
      const words = readingFaultInWords(fault);
      expect(words).toMatch(new RegExp(`^record ${fault.record + 1} \\(#/${fault.record}/`));
      expect(words).not.toMatch(/[.!]$/);
      expect(words).toMatch(/; (send|use|name|set|check|a reading is)/);
    },
  );
});
