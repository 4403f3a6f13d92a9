/**
 * Every way in which a request can be refused, with the numbers inside the arm.
 * `problem.ts` turns each into what the outside sees; a new arm breaks the build there.
 */

import type { ActFault } from '../monitoring/watch.ts';
import type { ScienceFault } from '../science/fault.ts';
import type { BatchFault, ReceivedCounts } from '../storage/vessel-object.ts';
import type { ReadingFault } from '../wire/reading-fault.ts';
import type { SenmlCborFault } from '../wire/senml-cbor.ts';
import type { SensmlFault } from '../wire/sensml-read.ts';

export type FieldFault = { readonly field: string; readonly detail: string };

export type Fault =
  | { readonly kind: 'key-missing' }
  | { readonly kind: 'key-refused' }
  | { readonly kind: 'too-many-tries'; readonly retryAfterSeconds: number }
  | { readonly kind: 'role-too-low'; readonly role: string; readonly needed: readonly string[] }
  | { readonly kind: 'vessel-not-granted'; readonly vessel: string; readonly record: number }
  | { readonly kind: 'not-found'; readonly what: string; readonly name: string }
  | { readonly kind: 'path-unknown'; readonly path: string }
  | {
      readonly kind: 'name-taken';
      readonly what: string;
      readonly name: string;
      readonly advice: string;
    }
  | { readonly kind: 'last-keeper' }
  | { readonly kind: 'body-empty' }
  | { readonly kind: 'body-too-large'; readonly limitBytes: number }
  | { readonly kind: 'body-not-utf8' }
  | { readonly kind: 'body-not-gzip' }
  /** The connection broke off, so that hardly anybody hears of it. */
  | { readonly kind: 'body-broken' }
  | { readonly kind: 'content-encoding'; readonly found: string }
  | { readonly kind: 'body-not-json'; readonly reason: string }
  | { readonly kind: 'media-type'; readonly found: string; readonly accepted: readonly string[] }
  | { readonly kind: 'fields'; readonly fields: readonly FieldFault[] }
  | { readonly kind: 'pack-too-long'; readonly records: number; readonly limit: number }
  | { readonly kind: 'pack-without-readings' }
  | { readonly kind: 'senml'; readonly fault: SenmlCborFault }
  | { readonly kind: 'sensml'; readonly fault: SensmlFault }
  /** What is wrong with a CSV file, line by line, and how much more there is. */
  | { readonly kind: 'csv'; readonly faults: readonly string[]; readonly more: number }
  /** What ended a stream, and what was stored of it before. */
  | { readonly kind: 'stream-ended'; readonly why: Fault; readonly counts: ReceivedCounts }
  /** `why` goes on where "line 7 of the archive" begins. */
  | {
      readonly kind: 'archive';
      readonly line: number;
      readonly why: string;
      readonly conflicts: boolean;
    }
  | { readonly kind: 'reading'; readonly fault: ReadingFault }
  | { readonly kind: 'vessel-not-listed'; readonly vessel: string; readonly record: number }
  | { readonly kind: 'over-budget'; readonly vessel: string; readonly retryAfterSeconds: number }
  | { readonly kind: 'batch'; readonly fault: BatchFault }
  | { readonly kind: 'act'; readonly fault: ActFault }
  /** The field is named as the body names it. */
  | { readonly kind: 'calculation'; readonly fault: ScienceFault }
  /** A link to acknowledge an alarm that is used, over, or never was: one arm for all, so that nobody learns which. */
  | { readonly kind: 'link-over' }
  | { readonly kind: 'refused-by-guard'; readonly status: number }
  | { readonly kind: 'unexpected' }
  | { readonly kind: 'storage-unavailable'; readonly retryAfterSeconds: number }
  /** The disk has no room left. */
  | { readonly kind: 'storage-full'; readonly retryAfterSeconds: number };

/** Carries a fault from anywhere in a handler to the one place that answers it. */
export class Refusal extends Error {
  readonly fault: Fault;

  constructor(fault: Fault) {
    super(fault.kind);
    this.fault = fault;
  }
}
