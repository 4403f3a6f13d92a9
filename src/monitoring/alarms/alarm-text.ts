/**
 * An alarm in words, one text for the page, the webhook and the terminal. Times stay numbers: each place tells them
 * in its own way. Pure: no I/O, no clock.
 */

import type { Happening } from '../watched.ts';
import { asSentence, capital } from '../words/sentence.ts';
import { duration } from '../words/spoken.ts';
import type { Alarm, AlarmChange } from './alarm.ts';
import {
  alarmBasis,
  alarmStateWords,
  alarmTitles,
  priorityWords,
  transitionWords,
} from './alarm-words.ts';
import { chatterHoldSeconds } from './chattering.ts';
import { happeningTitles } from './happening-words.ts';

export type AlarmText = {
  readonly title: string;
  /** What its priority asks of a person. */
  readonly rank: string;
  readonly state: string;
  /** What was seen when it was raised. */
  readonly evidence: string;
  /** What is seen while it goes on; null until it has been looked at again. */
  readonly latest: { readonly at: number; readonly words: string } | null;
  /** Null unless the alarm chatters. */
  readonly chatter: string | null;
  readonly checkFirst: readonly string[];
  readonly likelyCauses: readonly string[];
  readonly caution: string | null;
  /** What the judgement rests on. */
  readonly basis: string | null;
};

/** Of an alarm, what is put into words. */
type Spoken = Pick<
  Alarm,
  | 'kind'
  | 'priority'
  | 'state'
  | 'evidence'
  | 'latest'
  | 'chattering'
  | 'checkFirst'
  | 'likelyCauses'
  | 'caution'
  | 'source'
>;

export const alarmText = (alarm: Spoken): AlarmText => ({
  title: alarmTitles[alarm.kind],
  rank: priorityWords[alarm.priority],
  state: alarmStateWords[alarm.state],
  evidence: asSentence(alarm.evidence),
  latest:
    alarm.latest === null
      ? null
      : { at: alarm.latest.at, words: asSentence(alarm.latest.evidence) },
  chatter: alarm.chattering
    ? `It comes and goes: it is held until it has been clear for ${duration(chatterHoldSeconds)}.`
    : null,
  checkFirst: alarm.checkFirst.map(capital),
  likelyCauses: alarm.likelyCauses.map(capital),
  caution: alarm.caution === null ? null : asSentence(alarm.caution),
  basis: alarm.source ?? alarmBasis[alarm.kind] ?? null,
});

export const headings = {
  seen: 'Seen',
  latest: 'Latest',
  checkFirst: 'Check first',
  likelyCauses: 'Likely causes',
  caution: 'Caution',
  basis: 'What this rests on',
  note: 'Note',
} as const;

type NewsLine = { readonly heading: string; readonly words: string };

export type NewsText = {
  /** "North fermenter: Over-pressure, raised." */
  readonly headline: string;
  readonly lines: readonly NewsLine[];
};

/** What is told of one step of an alarm: all of it where a person is called, else what changed. */
export const newsText = (
  vesselTitle: string,
  {
    transition,
    by,
    note,
    alarm,
  }: Pick<AlarmChange, 'transition' | 'by' | 'note'> & { readonly alarm: Spoken },
): NewsText => {
  const text = alarmText(alarm);
  const calls = alarm.state === 'unacknowledged';
  const headline =
    `${vesselTitle}: ${text.title}, ${transitionWords[transition]}` +
    `${by === null ? '' : ` by ${by}`}${calls ? `. ${text.rank}` : ''}.`;
  const noted = note === null || note === '' ? [] : [line('note', asSentence(note))];
  if (!calls) return { headline, lines: noted };
  const seen = transition === 'raised' ? null : text.latest;
  return {
    headline,
    // What a small screen cuts off comes last; a caution never does.
    lines: [
      line('seen', text.evidence),
      ...(seen === null ? [] : [line('latest', seen.words)]),
      ...(text.chatter === null ? [] : [{ heading: '', words: text.chatter }]),
      ...(text.caution === null ? [] : [line('caution', text.caution)]),
      ...noted,
      ...numbered('checkFirst', text.checkFirst),
      ...listed('likelyCauses', text.likelyCauses),
      ...(text.basis === null ? [] : [line('basis', text.basis)]),
    ],
  };
};

/** What is told of something that happened and asks nothing of anybody. */
export const happeningText = (vesselTitle: string, { kind, words }: Happening): NewsText => ({
  headline: `${vesselTitle}: ${happeningTitles[kind]}.`,
  lines: [{ heading: '', words: asSentence(words) }],
});

/** The same as plain text, a line for each. */
export const plainText = ({ headline, lines }: NewsText): string =>
  [
    headline,
    ...lines.map(({ heading, words }) => (heading === '' ? words : `${heading}: ${words}`)),
  ].join('\n');

const line = (heading: keyof typeof headings, words: string): NewsLine => ({
  heading: headings[heading],
  words,
});

const numbered = (heading: keyof typeof headings, items: readonly string[]): readonly NewsLine[] =>
  items.length === 0
    ? []
    : [line(heading, items.map((item, index) => `${index + 1}. ${item}`).join('; '))];

const listed = (heading: keyof typeof headings, items: readonly string[]): readonly NewsLine[] =>
  items.length === 0 ? [] : [line(heading, items.join('; '))];
