/**
 * CloudEvents 1.0 in structured JSON. Outside truth: the required attributes, the rules and the
 * example of the specification (fixtures/standards/cloudevents.json), and the project's own JSON schema.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import facts from '../../fixtures/standards/cloudevents.json' with { type: 'json' };
import {
  type CloudEvent,
  cloudEventFaultInWords,
  cloudEventMediaType,
  cloudEventOf,
  type Occurrence,
} from '../../src/wire/cloud-event.ts';
import { rfc3339 } from '../../src/wire/rfc3339.ts';
import { envelopeFaults } from './published-envelope.ts';

const raised: Occurrence = {
  id: 'fv-1.stall.1',
  source: '/v1/cellars/skerrow-yard/vessels/fv-1',
  type: 'example.skerrow.alarm.raised',
  timeSeconds: 1_793_512_800,
  subject: 'ale-41',
  data: { evidence: 'fell 0.3 points in 36 h', points: [1.012, 1.0119], note: null },
};

const written = (occurrence: Occurrence): CloudEvent => {
  const event = cloudEventOf(occurrence);
  if (!event.ok) throw new Error(cloudEventFaultInWords(event.fault));
  return event.value;
};

describe('specification section 3.1: required attributes', () => {
  it('holds each of them as a string that is not empty', () => {
    const event: Readonly<Record<string, unknown>> = { ...written(raised) };
    expect(facts.required).toHaveLength(4);
    for (const attribute of facts.required) {
      expect(typeof event[attribute]).toBe('string');
      expect(event[attribute]).not.toBe('');
    }
    expect(event.specversion).toBe(facts.specversion);
  });

  it.each(['id', 'source', 'type'] as const)('refuses an empty %s', (attribute) => {
    expect(cloudEventOf({ ...raised, [attribute]: '' })).toEqual({
      ok: false,
      fault: { kind: 'attribute-empty', attribute },
    });
  });

  it.each(['a b', 'naïve', '%zz', '<a>', 'a\\b'])(
    'refuses the source %j: no URI reference (RFC 3986)',
    (source) => {
      expect(cloudEventOf({ ...raised, source })).toMatchObject({
        fault: { kind: 'source-not-uri-reference' },
      });
    },
  );

  it.each([
    facts.example.source,
    '/mycontext',
    'urn:uuid:6e8bc430',
    'mailto:a@b.example',
    '#',
    'x%20y',
  ])('accepts the source %s', (source) => {
    expect(written({ ...raised, source }).source).toBe(source);
  });
});

describe('specification section 3.2: optional attributes', () => {
  it('writes the subject where there is one, and leaves it out where not', () => {
    expect(written(raised).subject).toBe('ale-41');
    expect('subject' in written({ ...raised, subject: null })).toBe(false);
    expect(cloudEventOf({ ...raised, subject: '' })).toMatchObject({
      fault: { kind: 'attribute-empty', attribute: 'subject' },
    });
  });

  it('writes the time after RFC 3339', () => {
    expect(written(raised).time).toBe('2026-11-01T06:00:00Z');
    const { time } = facts.example;
    expect(written({ ...raised, timeSeconds: Date.parse(time) / 1000 }).time).toBe(time);
    for (const timeSeconds of [Number.NaN, Number.POSITIVE_INFINITY, 1e12, -1e12]) {
      expect(cloudEventOf({ ...raised, timeSeconds })).toMatchObject({
        fault: { kind: 'time-unwritable', found: timeSeconds },
      });
    }
  });
});

describe('specification section 3, type system: String', () => {
  it.each([
    '\u0000',
    '\u001f',
    '\u007f',
    '\u009f',
    '\ufdd0',
    '\uffff',
    '\u{1fffe}',
    '\ud800',
    '\udfff',
  ])('refuses %j in every attribute', (character) => {
    for (const attribute of ['id', 'source', 'type', 'subject'] as const) {
      expect(cloudEventOf({ ...raised, [attribute]: `a${character}b` })).toMatchObject({
        fault: { kind: 'attribute-characters', attribute },
      });
    }
  });

  it('accepts any other text as a subject', () => {
    for (const subject of ['Holunder, fünf Fässer', '\u{1f37a}', 'a\u00a0b']) {
      expect(written({ ...raised, subject }).subject).toBe(subject);
    }
  });
});

describe('JSON format section 3', () => {
  it('uses the media type application/cloudevents+json', () => {
    expect(cloudEventMediaType).toMatch(/^application\/cloudevents\+json(;|$)/);
  });

  it('has members named as the attributes of the example', () => {
    const known = Object.keys(facts.example).filter((name) => !name.startsWith('comexample'));
    expect(Object.keys(written(raised)).sort()).toEqual(known.sort());
  });

  it('3.1.1: stores data that is declared to be JSON as a JSON value, not as text', () => {
    const event = written(raised);
    expect(event.datacontenttype).toBe('application/json');
    expect(JSON.parse(JSON.stringify(event))).toEqual(event);
  });

  it('3.1.1: stores any JSON value, null too', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (data) => {
        // JSON.stringify writes -0 as 0.
        const plain = JSON.parse(JSON.stringify(data));
        expect(JSON.parse(JSON.stringify(written({ ...raised, data: plain }))).data).toEqual(plain);
      }),
    );
  });

  it.each([
    ['', Number.NaN],
    ['/a', { a: Number.POSITIVE_INFINITY }],
    ['/a/1/b~1c~0', { a: [0, { 'b/c~': Number.NaN }] }],
  ])('refuses what JSON would turn into null unasked, at #%s', (pointer, data) => {
    expect(cloudEventOf({ ...raised, data })).toEqual({
      ok: false,
      fault: { kind: 'data-not-json', pointer },
    });
  });

  it('refuses a cycle rather than follow it', () => {
    const loop: { [member: string]: never } = {};
    Object.assign(loop, { one: loop, other: loop });
    expect(cloudEventOf({ ...raised, data: loop })).toMatchObject({
      fault: { kind: 'data-not-json' },
    });
  });
});

describe('RFC 3339 section 5.6', () => {
  it('writes what Date writes, in the years 0000 to 9999', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -62_167_219_200_000, max: 253_402_300_799_999 }),
        (milliseconds) => {
          const expected = new Date(milliseconds).toISOString().replace('.000Z', 'Z');
          expect(rfc3339(milliseconds / 1000)).toBe(expected);
        },
      ),
      { numRuns: 2000 },
    );
  });

  it.each([
    [-62_167_219_200, '0000-01-01T00:00:00Z'],
    [0, '1970-01-01T00:00:00Z'],
    [951_782_400, '2000-02-29T00:00:00Z'],
    [4_107_542_400, '2100-03-01T00:00:00Z'],
    [253_402_300_799.999, '9999-12-31T23:59:59.999Z'],
    [0.0004, '1970-01-01T00:00:00Z'],
    [59.9996, '1970-01-01T00:01:00Z'],
  ])('writes %d as %s', (timeSeconds, text) => {
    expect(rfc3339(timeSeconds)).toBe(text);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, -62_167_219_201, 253_402_300_800, 1e300])(
    'writes nothing for %d',
    (timeSeconds) => {
      expect(rfc3339(timeSeconds)).toBeNull();
    },
  );
});

describe('a fault in words', () => {
  it('is lower case, without a final period, and says what to do, in all 5 arms', () => {
    const broken: readonly Occurrence[] = [
      { ...raised, id: '' },
      { ...raised, id: '\u0000' },
      { ...raised, source: ' ' },
      { ...raised, timeSeconds: Number.NaN },
      { ...raised, data: Number.NaN },
    ];
    const kinds = new Set<string>();
    for (const occurrence of broken) {
      const event = cloudEventOf(occurrence);
      if (event.ok) throw new Error('expected a fault');
      kinds.add(event.fault.kind);
      expect(cloudEventFaultInWords(event.fault)).toMatch(/^[a-z].*; .*[^.]$/);
    }
    expect(kinds.size).toBe(5);
  });
});

describe('the JSON schema of the CloudEvents project', () => {
  it('accepts the example of the specification and refuses an event without one of the four', () => {
    expect(envelopeFaults(facts.example)).toEqual([]);
    for (const attribute of facts.required) {
      const { [attribute as 'id']: _, ...without } = facts.example;
      expect(envelopeFaults(without)).not.toEqual([]);
    }
  });

  it('accepts what is written, whatever it says', () => {
    fc.assert(
      fc.property(
        fc.stringMatching(/^[\w-]{1,30}$/),
        fc.integer({ min: 0, max: 4_000_000_000 }),
        fc.option(fc.stringMatching(/^[\w-]{1,30}$/)),
        fc.jsonValue(),
        (id, timeSeconds, subject, data) => {
          const event = cloudEventOf({
            ...raised,
            id,
            timeSeconds,
            subject,
            data: data as Occurrence['data'],
          });
          if (!event.ok) throw new Error(cloudEventFaultInWords(event.fault));
          expect(envelopeFaults(JSON.parse(JSON.stringify(event.value)))).toEqual([]);
        },
      ),
    );
  });
});
