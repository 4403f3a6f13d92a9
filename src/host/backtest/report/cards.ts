/**
 * The alarms of a backtest as cards, in the order in which they were first raised. An alarm that came again is one card
 * with its later times listed, so that a chattering sensor does not bury the rest. Numbers are those of the chart.
 * Pure: no I/O, no clock.
 */
import { html } from 'hono/html';
import { alarmText, headings } from '../../../monitoring/alarms/alarm-text.ts';
import { transitionWords } from '../../../monitoring/alarms/alarm-words.ts';
import { happeningTitles } from '../../../monitoring/alarms/happening-words.ts';
import { asSentence } from '../../../monitoring/words/sentence.ts';
import { duration } from '../../../monitoring/words/spoken.ts';
import type { Outcome } from '../outcome.ts';
import { alarmTitle, counted, dayWords, stoodWords } from '../said.ts';
import type { CalmMark, Occurrence } from '../told.ts';
import type { Html } from './panel.ts';
import type { Zone } from './when.ts';

export type Numbered<Mark> = { readonly number: number; readonly mark: Mark };

type Page = { readonly outcome: Outcome; readonly zone: Zone };

/** Later times of one alarm that are listed; the rest is counted. Chosen by us: a chattering alarm has hundreds. */
const mostListed = 12;

const raisedWords = ({ at }: { readonly at: number }, { outcome, zone }: Page): string =>
  `${zone.moment(at)}, ${dayWords(at, outcome.history.record.begins)}`;

/** When the rating was foretold to be reached, and when a reading did reach it. */
const crossingWords = ({ crossingAt, at }: Occurrence, { outcome, zone }: Page): string | null => {
  const { record } = outcome.history;
  const rated = record.watched.vessel.ratedGaugePressurePascal;
  if (crossingAt === null || rated === null) return null;
  const reached = record.rows
    .flat()
    .find(
      ({ channel, time, value }) => channel === 'gauge-pressure' && time >= at && value >= rated,
    );
  const said = `It foretold the rating for ${zone.moment(crossingAt.value)}, between ${zone.moment(crossingAt.low)} and ${zone.moment(crossingAt.high)}.`;
  return reached === undefined
    ? `${said} No reading reached it by the end of the record.`
    : `${said} A reading reached it on ${zone.moment(reached.time)}, ${duration(reached.time - at)} after the alarm.`;
};

const listed = (title: string, items: readonly string[]): Html | '' =>
  items.length === 0
    ? ''
    : html`<div><h4>${title}</h4><ul>${items.map((item) => html`<li>${item}</li>`)}</ul></div>`;

const laterHtml = (mark: Occurrence, { zone }: Page) =>
  mark.later.map(({ at, transition, alarm, note }) => {
    const { rank, latest } = alarmText(alarm);
    const words = [
      `${zone.moment(at)}: ${transitionWords[transition]}.`,
      transition === 'worsened' ? `${rank}.` : '',
      note === null || note === '' ? '' : asSentence(note),
      transition === 'worsened' && latest !== null ? latest.words : '',
    ];
    return html`<p class="beside-evidence">${words.filter((part) => part !== '').join(' ')}</p>`;
  });

const againHtml = (again: readonly Numbered<Occurrence>[], page: Page): Html | '' => {
  if (again.length === 0) return '';
  const more = again.slice(mostListed);
  const last = more.at(-1);
  return html`<ol class="again">
    ${again
      .slice(0, mostListed)
      .map(
        ({ number, mark }) =>
          html`<li id="mark-${number}"><strong>${number}</strong> Again on ${raisedWords(mark, page)}, ${stoodWords(mark)}. ${asSentence(mark.alarm.evidence)}</li>`,
      )}
    ${last === undefined ? '' : html`<li>${more.map(({ number }) => html`<span id="mark-${number}"></span>`)}And ${counted(more.length, 'time')} more, the last on ${raisedWords(last.mark, page)}.</li>`}
  </ol>`;
};

const cardHtml = (group: readonly Numbered<Occurrence>[], page: Page): Html | '' => {
  const [first, ...again] = group;
  if (first === undefined) return '';
  const { number, mark } = first;
  const { alarm } = mark;
  const text = alarmText(alarm);
  const crossing = crossingWords(mark, page);
  return html`<article class="alarm-card rank-${alarm.priority}" id="mark-${number}">
  <div class="alarm-sign numbers">${number}</div>
  <div class="alarm-body">
    <h3>${alarmTitle(mark)}</h3>
    <p class="listed alarm-state"><strong>${text.rank}</strong><span>raised ${raisedWords(mark, page)}</span><span>${stoodWords(mark)}</span></p>
    <p class="evidence">${text.evidence}</p>
    ${crossing === null ? '' : html`<p class="beside-evidence">${crossing}</p>`}
    ${laterHtml(mark, page)}
    ${text.caution === null ? '' : html`<p class="caution"><strong>${headings.caution}</strong> ${text.caution}</p>`}
    <div class="advice">${listed(headings.checkFirst, text.checkFirst)}${listed(headings.likelyCauses, text.likelyCauses)}</div>
    ${text.basis === null ? '' : html`<p class="rests">${headings.basis}: ${text.basis}</p>`}
    ${againHtml(again, page)}
  </div>
</article>`;
};

export const alarmCards = (alarms: readonly Numbered<Occurrence>[], page: Page): Html => {
  const groups = Map.groupBy(alarms, ({ mark }) => mark.alarm.alarm);
  return html`<div class="cards">${[...groups.values()].map((group) => cardHtml(group, page))}</div>`;
};

export const calmList = (calm: readonly Numbered<CalmMark>[], page: Page): Html =>
  html`<ol class="calm-list">${calm.map(
    ({ number, mark }) =>
      html`<li id="mark-${number}"><span class="calm-number">${number}</span><span>${raisedWords(mark, page)}: ${happeningTitles[mark.happening.kind]}. ${asSentence(mark.happening.words)}</span></li>`,
  )}</ol>`;
