/**
 * The report of one backtested history as one HTML file that needs nothing beside itself: no script, no other file,
 * no network. It wears the page's own sheet. Pure: the sheet comes as an argument; no I/O, no clock.
 */
import { html, raw } from 'hono/html';
import { happeningTitles } from '../../../monitoring/alarms/happening-words.ts';
import { capital } from '../../../monitoring/words/sentence.ts';
import type { Channel } from '../../../science/units/channel.ts';
import {
  chartWords,
  drinkWords,
  houseWords,
  stageWords,
  vesselWords,
} from '../../../web/messages.ts';
import { barText, litreText, numberText, shownAs } from '../../../web/pages/quantity.ts';
import type { CsvUnit } from '../../../wire/csv-read-units.ts';
import type { Outcome } from '../outcome.ts';
import {
  alarmsOf,
  alarmTitle,
  cameWords,
  counted,
  dayWords,
  gravityBand,
  reportZone,
  stoodWords,
  understoodWords,
} from '../said.ts';
import type { CalmMark, Occurrence } from '../told.ts';
import { alarmCards, calmList, type Numbered } from './cards.ts';
import { type Html, type PanelMark, panelHtml } from './panel.ts';
import { coursePanels, foretoldPanels } from './panels.ts';
import { columnsTable, courseTable, foretoldTable } from './tables.ts';
import type { Zone } from './when.ts';

const mark = html`<svg class="mark" viewBox="0 0 32 32" aria-hidden="true" focusable="false"><circle cx="16" cy="17.5" r="11.5" class="mark-rim" /><path d="M5.6 20.5h20.8a11.5 11.5 0 0 1-20.8 0Z" class="mark-level" /><circle cx="16" cy="3" r="2.4" class="mark-ward" /></svg>`;

/** Units of the file that are not the ones shown, by channel. */
const ownUnitsOf = ({ history }: Outcome): Readonly<Partial<Record<Channel, CsvUnit>>> =>
  Object.fromEntries(
    history.understood.columns.flatMap((column) =>
      column.kind === 'channel' && !sameUnit(column.unit.symbol, shownAs[column.channel].unit)
        ? [[column.channel, column.unit]]
        : [],
    ),
  );

const sameUnit = (one: string, other: string): boolean =>
  one.replace('m3', 'm³') === other || (one.startsWith('%') && other === '%');

const openingHtml = (outcome: Outcome, zone: Zone): Html => {
  const { batch, history, foretold, told } = outcome;
  const { begins, ends, watched } = history.record;
  const { vessel } = watched;
  const alarms = alarmsOf(told);
  const first = alarms[0];
  const half =
    typeof foretold === 'string'
      ? null
      : (foretold.moments.find(({ share }) => share === 0.5) ?? null);
  const said = half?.status.terminalGravity ?? null;
  return html`<div class="opening vessel-opening">
  <div>
    <p class="report-kind">Backtest of a past batch</p>
    <h1>${batch.title}</h1>
    <p class="listed holds"><span>${drinkWords[batch.drink]}</span><span>${stageWords[batch.stage]}</span>${
      batch.originalGravity === null
        ? ''
        : html`<span>from ${numberText(batch.originalGravity, 4)}</span>`
    }</p>
    <p class="listed nameplate"><span>${vesselWords.holds(litreText(vessel.volumeLitre), litreText(vessel.headspaceLitre))}</span><span>${
      vessel.ratedGaugePressurePascal === null
        ? vesselWords.unrated
        : vesselWords.rated(barText(vessel.ratedGaugePressurePascal))
    }</span>${vessel.reliefGaugePressurePascal === null ? '' : html`<span>${vesselWords.relief(barText(vessel.reliefGaugePressurePascal))}</span>`}</p>
    <p class="listed nameplate"><span>${zone.date(begins)}, ${zone.clock(begins)} to ${zone.date(ends)}, ${zone.clock(ends)}</span><span>times in ${zone.name}</span></p>
  </div>
  <div class="big-number">
    <p class="figure">${alarms.length}</p>
    <p class="figure-label">${alarms.length === 1 ? 'alarm would have been raised' : 'alarms would have been raised'}</p>
    ${first === undefined ? '' : html`<p class="way-words">${alarms.length === 1 ? '' : 'First: '}${alarmTitle(first)}, ${zone.moment(first.at)}, ${dayWords(first.at, begins)}</p>`}
    ${
      said === null || typeof foretold === 'string'
        ? ''
        : html`<p class="beside">At half the fall Gyleward foretold an end at ${numberText(said.value, 4)}, in a band of ${gravityBand(said)}; ${foretold.came.stalled ? 'it ' : ''}${cameWords(foretold.came)}.</p>`
    }
  </div>
</div>`;
};

const marksHtml = (numbered: readonly Numbered<Occurrence | CalmMark>[], zone: Zone): Html | '' =>
  numbered.length === 0
    ? ''
    : html`<ol class="marks">${numbered
        .slice(0, mostMarks)
        .map(
          ({ number, mark: one }) =>
            html`<li><a href="#mark-${number}">${zone.moment(one.at)}: ${one.kind === 'alarm' ? `${alarmTitle(one)}, ${stoodWords(one)}` : happeningTitles[one.happening.kind]}</a></li>`,
        )}</ol>${numbered.length > mostMarks ? html`<p class="hint">And ${numbered.length - mostMarks} more, in the list below.</p>` : ''}`;

/** Marks that are listed below the chart. Chosen by us: a page's length. */
const mostMarks = 24;

const courseHtml = (
  outcome: Outcome,
  numbered: readonly Numbered<Occurrence | CalmMark>[],
  zone: Zone,
): Html => {
  const marks: readonly PanelMark[] = numbered.map(({ number, mark: one }) => ({
    at: one.at,
    number,
    priority: one.kind === 'alarm' ? one.alarm.priority : null,
  }));
  const foretold = typeof outcome.foretold === 'string' ? null : outcome.foretold;
  const panels = coursePanels(outcome.history.record, foretold, marks, ownUnitsOf(outcome), zone);
  const curved = panels.some(({ curve }) => curve !== null);
  return html`<section class="chart" id="course"><h2>The course</h2>
  <div class="panels">${panels.map(panelHtml)}</div>
  <p class="key"><span class="key-reading">${chartWords.readingKey}</span>${curved ? html`<span class="key-curve">the curve as fitted at the end, with its band</span>` : ''}</p>
  ${marksHtml(numbered, zone)}
  ${courseTable(outcome, zone)}
</section>`;
};

const foretoldHtml = (outcome: Outcome, zone: Zone): Html | '' => {
  const { foretold, history } = outcome;
  if (typeof foretold === 'string') {
    return history.record.watched.batch?.stage === 'fermentation'
      ? html`<section class="past" id="foretold"><h2>What was foretold, and what came</h2><p>${foretold}</p></section>`
      : '';
  }
  const panels = foretoldPanels(history.record, foretold, cameWords(foretold.came), zone);
  const falling = foretold.came.fellInLastDay > 0.5;
  return html`<section class="past" id="foretold"><h2>What was foretold, and what came</h2>
  ${
    panels.length === 0
      ? ''
      : html`<div class="looks-back">${panels.map(panelHtml)}</div>
  <p class="key"><span class="key-curve">the curve as fitted at the upright line, and the band for what the sensor would read: nine times in ten, its drift included</span></p>`
  }
  ${foretoldTable(foretold, zone)}
  <p class="hint">The moments are found with hindsight; what was said at them was said without.${
    falling
      ? ` Gravity still fell by ${numberText(foretold.came.fellInLastDay, 1)} points in the last day of the record, so what came is not yet an end.`
      : ''
  }</p>
</section>`;
};

const readHtml = (
  outcome: Outcome,
): Html => html`<section class="past" id="read"><h2>What was read</h2>
  ${columnsTable(outcome)}
  <div class="two-columns">
    <div><h3>From ${outcome.file}</h3><ul class="plain-list">${understoodWords(outcome.history).map((words) => html`<li>${words}</li>`)}</ul></div>
    ${outcome.batch.supposed.length === 0 ? '' : html`<div><h3>Supposed</h3><ul class="plain-list">${outcome.batch.supposed.map((words) => html`<li>${words}</li>`)}</ul></div>`}
  </div>
</section>`;

export const reportPage = (outcome: Outcome, sheet: string): Html => {
  const zone = reportZone(outcome.history.understood);
  const numbered = outcome.told.marks.map((one, index) => ({ number: index + 1, mark: one }));
  const alarms = numbered.flatMap(({ number, mark: one }) =>
    one.kind === 'alarm' ? [{ number, mark: one }] : [],
  );
  const calm = numbered.flatMap(({ number, mark: one }) =>
    one.kind === 'happening' ? [{ number, mark: one }] : [],
  );
  const page = { outcome, zone };
  return html`<!DOCTYPE html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${outcome.batch.title}, backtest · ${houseWords.name}</title>
<style>${raw(sheet.replaceAll('</', '<\\/'))}</style>
</head>
<body>
<header class="masthead"><p class="wordmark">${mark}<span>${houseWords.name}</span><span class="cellar-name">Backtest</span></p></header>
<main>
${openingHtml(outcome, zone)}
${courseHtml(outcome, numbered, zone)}
<section class="past" id="alarms"><h2>What would have been alarmed</h2>
${alarms.length === 0 ? html`<p>${capital(counted(0, 'alarm'))}: nothing in this record would have called anybody.</p>` : alarmCards(alarms, page)}
</section>
${calm.length === 0 ? '' : html`<section class="past" id="happenings"><h2>What happened besides</h2>${calmList(calm, page)}</section>`}
${foretoldHtml(outcome, zone)}
${readHtml(outcome)}
</main>
<footer class="colophon"><p>${houseWords.advice}</p><p>A backtest runs the watch that runs in the cellar over a file, row by row in the file's order, each row known only when it had come. Nobody answered the alarms.</p></footer>
</body>
</html>
`;
};
