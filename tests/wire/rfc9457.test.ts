/**
 * RFC 9457, problem details for HTTP. Outside truth: the members, the rules and the two examples of
 * section 3 (fixtures/standards/rfc9457_examples.json).
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import facts from '../../fixtures/standards/rfc9457_examples.json' with { type: 'json' };
import {
  type ProblemDetails,
  problemJson,
  problemMediaType,
} from '../../src/wire/problem-details.ts';

const plain: ProblemDetails = { type: 'about:blank', title: 'Not Found', status: 404 };

describe('section 3', () => {
  it('has the media type application/problem+json', () => {
    expect(problemMediaType).toBe(facts.media_type);
  });

  it('writes the first example, a refusal with two members of its own', () => {
    const { type, title, detail, instance, ...extensions } = facts.example_403;
    expect(Object.keys(extensions)).toEqual(['balance', 'accounts']);
    const text = problemJson({ type, title, status: 403, detail, instance, extensions });
    expect(JSON.parse(text)).toEqual({ ...facts.example_403, status: 403 });
  });

  it('writes the second example, a list of errors with JSON pointers', () => {
    const { type, title, errors } = facts.example_422;
    const text = problemJson({ type, title, status: 422, extensions: { errors } });
    expect(JSON.parse(text)).toEqual({ ...facts.example_422, status: 422 });
    expect(errors).toHaveLength(2);
  });
});

describe('section 3.1: members', () => {
  it('has those that the RFC names, each of its type', () => {
    const full = { ...plain, detail: 'no vessel fv-9 in this cellar', instance: '/problems/1' };
    const read: Readonly<Record<string, unknown>> = JSON.parse(problemJson(full));
    expect(Object.keys(read).sort()).toEqual(Object.keys(facts.members).sort());
    for (const [member, described] of Object.entries(facts.members)) {
      expect(described.startsWith(typeof read[member])).toBe(true);
    }
  });

  it('leaves out what there is not, rather than write null', () => {
    expect(JSON.parse(problemJson(plain))).toEqual(plain);
  });
});

describe('section 3.2: extension members', () => {
  it('stand beside the members, which they cannot replace', () => {
    const extensions = { status: 200, type: 'x', detail: 'y', record: 3, ['__proto__']: 'z' };
    const text = problemJson({ ...plain, extensions });
    expect(text).toBe(
      '{"type":"about:blank","title":"Not Found","status":404,"record":3,"__proto__":"z"}',
    );
  });

  it('are written for any JSON, and read back the same', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.stringMatching(/^[a-z]{3,8}x$/), fc.jsonValue()), (own) => {
        const extensions = JSON.parse(JSON.stringify(own));
        const read = JSON.parse(problemJson({ ...plain, extensions }));
        expect(read).toEqual({ ...extensions, ...plain });
      }),
    );
  });

  it('name a number that JSON cannot hold, since a null would hide it', () => {
    const extensions = { found: Number.NaN, bounds: [Number.NEGATIVE_INFINITY, 1] };
    expect(JSON.parse(problemJson({ ...plain, extensions }))).toMatchObject({
      found: 'NaN',
      bounds: ['-Infinity', 1],
    });
  });
});
