/**
 * A fact of the journal for a person to read: members of a record by their names in plain letters. What is no record,
 * or was cut short, stays as it was kept. Pure: no I/O, no clock.
 */
import { journalWords } from '../messages.ts';

/** `ratedGaugePressurePascal` as `rated gauge pressure pascal`. */
const spaced = (name: string): string =>
  name.replace(/[A-Z]+/g, (capitals) => ` ${capitals.toLowerCase()}`).replaceAll('-', ' ');

const plain = (value: unknown): string => {
  if (value === null) return journalWords.nothing;
  if (Array.isArray(value)) return value.map(plain).join(', ');
  if (typeof value !== 'object') return String(value);
  return Object.entries(value)
    .map(([name, inner]) => `${spaced(name)} ${plain(inner)}`)
    .join(', ');
};

export const factText = (fact: string | number): string => {
  if (typeof fact === 'number' || !fact.startsWith('{')) return String(fact);
  try {
    return plain(JSON.parse(fact));
  } catch {
    return fact;
  }
};
