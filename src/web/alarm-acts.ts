/**
 * What people do to alarms, from the body of a request or the fields of a form to the act that monitoring takes.
 * Both are checked by one schema for each act. Pure: no I/O, no clock.
 */
import type { Act } from '../monitoring/watch.ts';
import { acknowledgeBody, noteBody, removeFromServiceBody, shelveBody } from './contract.ts';
import type { Typed } from './form-body.ts';
import { parse } from './parse.ts';

const actKinds = [
  'acknowledge',
  'reset',
  'shelve',
  'unshelve',
  'remove-from-service',
  'return-to-service',
] as const satisfies readonly Act['kind'][];

/** The act that the last part of an address names; null where it names none. */
export const actNamed = (name: string): Act['kind'] | null =>
  actKinds.find((kind) => kind === name) ?? null;

/** The alarm and the person. */
type Deed = { readonly alarm: string; readonly by: string };

export const actFromBody = (kind: Act['kind'], deed: Deed, body: unknown): Act => {
  switch (kind) {
    case 'acknowledge':
      return { ...deed, kind, ...parse(acknowledgeBody, body) };
    case 'shelve':
      return { ...deed, kind, ...parse(shelveBody, body) };
    case 'remove-from-service':
      return { ...deed, kind, note: parse(removeFromServiceBody, body).reason };
    case 'reset':
    case 'unshelve':
    case 'return-to-service':
      return { ...deed, kind, ...parse(noteBody, body) };
  }
};

/** A form names hours where a program names a moment, since a person at a vessel thinks in hours. */
export const bodyFromForm = (kind: Act['kind'], typed: Typed, now: number): unknown => {
  const note = typed.note?.trim() || null;
  if (kind === 'remove-from-service') return { reason: typed.reason ?? '' };
  if (kind !== 'shelve') return { note };
  const hours = Number(typed.hours);
  return { until: Number.isFinite(hours) ? now + hours * 3600 : typed.hours, note };
};
