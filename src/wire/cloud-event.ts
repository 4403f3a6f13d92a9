/**
 * The envelope of an event in structured JSON, CloudEvents 1.0 (specification sections 3.1 and 3.2,
 * JSON format sections 3 and 3.1). Source and id together name one event; a repeated delivery
 * repeats both. Pure: no I/O, no clock, no randomness: id and time are arguments.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstNotJson, type JsonValue } from './json-value.ts';
import { rfc3339 } from './rfc3339.ts';
import { shownValue } from './shown-value.ts';

export const cloudEventMediaType = 'application/cloudevents+json; charset=utf-8';

/** Ready for JSON.stringify. */
export type CloudEvent = {
  readonly specversion: '1.0';
  readonly id: string;
  readonly source: string;
  readonly type: string;
  readonly time: string;
  readonly subject?: string;
  readonly datacontenttype: 'application/json';
  readonly data: JsonValue;
};

export type Occurrence = {
  readonly id: string;
  /** URI reference of what the event comes from. */
  readonly source: string;
  /** Begins with a reversed domain name, as the specification recommends. */
  readonly type: string;
  /** Unix seconds at which it happened. */
  readonly timeSeconds: number;
  /** What within the source it is about; null where that is the source itself. */
  readonly subject: string | null;
  readonly data: JsonValue;
};

type Attribute = 'id' | 'source' | 'type' | 'subject';

export type CloudEventFault =
  | { readonly kind: 'attribute-empty'; readonly attribute: Attribute }
  | { readonly kind: 'attribute-characters'; readonly attribute: Attribute; readonly found: string }
  | { readonly kind: 'source-not-uri-reference'; readonly found: string }
  | { readonly kind: 'time-unwritable'; readonly found: number }
  | { readonly kind: 'data-not-json'; readonly pointer: string };

export const cloudEventFaultInWords = (fault: CloudEventFault): string => {
  switch (fault.kind) {
    case 'attribute-empty':
      return `the event's ${fault.attribute} is empty; give it at least one character`;
    case 'attribute-characters':
      return `the event's ${fault.attribute} is ${fault.found}; leave out control characters, noncharacters and lone surrogates`;
    case 'source-not-uri-reference':
      return `the event's source is ${fault.found}; give a URI reference (RFC 3986)`;
    case 'time-unwritable':
      return `the event's time is ${fault.found}; give Unix seconds within the years 0000 to 9999`;
    case 'data-not-json':
      return `the event's data has something at #${fault.pointer} that JSON cannot hold; give null or a text instead`;
  }
};

/** Specification section 3 "Type system", String: C0 and C1 controls, noncharacters, surrogates. */
const forbidden = /[\p{Cc}\p{Cs}\p{Noncharacter_Code_Point}]/u;

/** Characters of RFC 3986 appendix A: reserved, unreserved and percent-encoded. */
const uriReference = /^(?:[\w\-.~:/?#[\]@!$&'()*+,;=]|%[0-9A-Fa-f]{2})+$/;

const firstFault = (occurrence: Occurrence): CloudEventFault | null => {
  for (const attribute of ['id', 'source', 'type', 'subject'] as const) {
    const found = occurrence[attribute];
    if (found === null) continue;
    if (found === '') return { kind: 'attribute-empty', attribute };
    if (forbidden.test(found)) {
      return { kind: 'attribute-characters', attribute, found: shownValue(found) };
    }
  }
  if (!uriReference.test(occurrence.source)) {
    return { kind: 'source-not-uri-reference', found: shownValue(occurrence.source) };
  }
  const pointer = firstNotJson(occurrence.data);
  return pointer === null ? null : { kind: 'data-not-json', pointer };
};

export const cloudEventOf = (occurrence: Occurrence): Result<CloudEvent, CloudEventFault> => {
  const fault = firstFault(occurrence);
  if (fault !== null) return fail(fault);
  const { id, source, type, timeSeconds, subject, data } = occurrence;
  const time = rfc3339(timeSeconds);
  if (time === null) return fail({ kind: 'time-unwritable', found: timeSeconds });
  return ok({
    specversion: '1.0',
    id,
    source,
    type,
    time,
    ...(subject === null ? {} : { subject }),
    datacontenttype: 'application/json',
    data,
  });
};
