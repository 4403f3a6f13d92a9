/**
 * A stream of SenML records as JSON (SensML, RFC 8428 sections 4.8 and 5.1.2), a piece of text at a time: the elements
 * of one array that may stay open for hours. Holds no more than the record that is under way. After a fault nothing
 * more is read. Pure: no I/O, no clock; `now` is when the piece was received, to which "now" in its records refers.
 */
import { fail, type Result } from '../result.ts';
import { recordPlace } from './record-place.ts';
import { type SenmlRecord, senmlResolver } from './senml.ts';
import { type SenmlFault, senmlFaultInWords } from './senml-fault.ts';
import { shownValue } from './shown-value.ts';

export const sensmlMediaType = 'application/sensml+json';

export type SensmlFault =
  | SenmlFault
  | { readonly kind: 'stream-not-array'; readonly found: string }
  | { readonly kind: 'record-not-json'; readonly record: number; readonly found: string }
  | { readonly kind: 'record-too-long'; readonly record: number; readonly most: number }
  | { readonly kind: 'between-records'; readonly record: number; readonly found: string }
  | { readonly kind: 'behind-stream'; readonly record: number; readonly found: string }
  | { readonly kind: 'stream-cut'; readonly record: number };

export const sensmlFaultInWords = (fault: SensmlFault): string => {
  switch (fault.kind) {
    case 'stream-not-array':
      return `the stream begins ${fault.found}; begin it with [ and send the records as elements of one array`;
    case 'record-not-json':
      return `${recordPlace(fault.record, null)} is no JSON, it begins ${fault.found}; send each record as a JSON object`;
    case 'record-too-long':
      return `${recordPlace(fault.record, null)} is longer than ${fault.most} characters; look for a brace or a quote that is never closed`;
    case 'between-records':
      return `before ${recordPlace(fault.record, null)} stands ${fault.found}; put one comma between two records and ] behind the last`;
    case 'behind-stream':
      return `behind the ] after ${fault.record} records stands ${fault.found}; begin another request for another stream`;
    case 'stream-cut':
      return `the stream ends after ${fault.record} records without its ]; close the array with ]`;
    default:
      return senmlFaultInWords(fault);
  }
};

/** What came of a piece: the records that it completed, and the fault that ended the stream, if one did. */
type SensmlStep = {
  readonly records: readonly SenmlRecord[];
  readonly fault: SensmlFault | null;
};

export type SensmlReader = {
  readonly take: (text: string, now: number) => SensmlStep;
  /** No more text follows. */
  readonly end: () => SensmlFault | null;
  /** Records that were read whole and found good, those that only set base fields among them. */
  readonly read: () => number;
};

/** Chosen by us: a record has about a hundred characters. More would let an open brace fill the memory. */
const longestRecord = 4096;

type Place = 'before' | 'first' | 'element' | 'inside' | 'behind-element' | 'closed' | 'broken';

const isBlank = (character: string): boolean =>
  character === ' ' || character === '\n' || character === '\r' || character === '\t';

export const sensmlReader = (): SensmlReader => {
  const resolver = senmlResolver();
  let place: Place = 'before';
  let text = '';
  let depth = 0;
  let quoted = false;
  let escaped = false;
  let read = 0;

  const finish = (now: number): Result<SenmlRecord | null, SensmlFault> => {
    let candidate: unknown;
    try {
      candidate = JSON.parse(text);
    } catch {
      return fail({ kind: 'record-not-json', record: read, found: shownValue(text) });
    }
    text = '';
    return resolver.take(candidate, now);
  };

  /** Takes a character of a record that is under way; true where it ends the record. */
  const inside = (character: string): boolean => {
    text += character;
    if (quoted) {
      if (escaped) escaped = false;
      else if (character === '\\') escaped = true;
      else if (character === '"') quoted = false;
      return false;
    }
    if (character === '"') quoted = true;
    else if (character === '{' || character === '[') depth += 1;
    else if (character === '}' || character === ']') depth -= 1;
    return depth === 0;
  };

  const between = (character: string): SensmlFault | null => {
    const found = shownValue(character);
    switch (place) {
      case 'before':
        if (character !== '[') return { kind: 'stream-not-array', found };
        place = 'first';
        return null;
      case 'behind-element':
        if (character === ',') place = 'element';
        else if (character === ']') place = 'closed';
        else return { kind: 'between-records', record: read, found };
        return null;
      case 'closed':
        return { kind: 'behind-stream', record: read, found };
      default:
        if (character === ']' && place === 'first') {
          place = 'closed';
          return null;
        }
        if (character !== '{') return { kind: 'between-records', record: read, found };
        place = 'inside';
        text = character;
        depth = 1;
        return null;
    }
  };

  return {
    read: () => read,
    take: (piece, now) => {
      const records: SenmlRecord[] = [];
      const stop = (fault: SensmlFault): SensmlStep => {
        place = 'broken';
        text = '';
        return { records, fault };
      };
      if (place === 'broken') return { records, fault: null };
      for (const character of piece) {
        if (place !== 'inside') {
          const fault = isBlank(character) ? null : between(character);
          if (fault !== null) return stop(fault);
          continue;
        }
        if (text.length >= longestRecord)
          return stop({ kind: 'record-too-long', record: read, most: longestRecord });
        if (!inside(character)) continue;
        const record = finish(now);
        if (!record.ok) return stop(record.fault);
        read += 1;
        place = 'behind-element';
        if (record.value !== null) records.push(record.value);
      }
      return { records, fault: null };
    },
    end: () => {
      if (place === 'broken') return null;
      if (place !== 'closed') return { kind: 'stream-cut', record: read };
      return read === 0 ? { kind: 'empty-pack' } : null;
    },
  };
};
