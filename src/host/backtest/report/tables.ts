/** The tables of a report: what was foretold against what came, what was read, and the course as figures. Pure. */
import { html } from 'hono/html';
import type { Channel } from '../../../science/units/channel.ts';
import { channelWords } from '../../../web/messages.ts';
import { channelFigure, numberText, shownAs } from '../../../web/pages/quantity.ts';
import type { Foretold } from '../foretold.ts';
import type { Outcome } from '../outcome.ts';
import { gravityBand, missWords, momentWords, timeMissWords } from '../said.ts';
import type { Html } from './panel.ts';
import { channelsOf, pointsOf } from './panels.ts';
import type { Zone } from './when.ts';

const said = (value: string, ...beside: readonly string[]): Html =>
  html`<strong>${value}</strong>${beside.map((words) => html`<span>${words}</span>`)}`;

export const foretoldTable = ({ moments, came }: Foretold, zone: Zone): Html =>
  html`<div class="said"><table>
  <thead><tr><th scope="col">When</th><th scope="col">Gravity then</th><th scope="col">Terminal gravity, said</th><th scope="col">Within half a point of it, said</th></tr></thead>
  <tbody>${moments.map((moment) => {
    const { terminalGravity, finishAt, presentGravity } = moment.status;
    return html`<tr>
    <th scope="row">${said(momentWords(moment), zone.moment(moment.at))}</th>
    <td data-label="Gravity then">${presentGravity === null ? 'not known yet' : numberText(presentGravity, 4)}</td>
    <td data-label="Terminal gravity, said">${
      terminalGravity === null
        ? 'nothing yet'
        : said(
            numberText(terminalGravity.value, 4),
            `band ${gravityBand(terminalGravity)}`,
            missWords(terminalGravity, came),
          )
    }</td>
    <td data-label="Within half a point of it, said">${
      finishAt === null
        ? moment.status.phase === 'stalled'
          ? 'nothing, while it stands stalled'
          : 'nothing yet'
        : said(
            zone.moment(finishAt.value),
            `band ${zone.moment(finishAt.low)} to ${zone.moment(finishAt.high)}`,
            timeMissWords(finishAt, came),
          )
    }</td></tr>`;
  })}
  <tr><th scope="row">${said('What came')}</th>
  <td data-label="Gravity at the end">${numberText(came.gravity, 4)}</td>
  <td data-label="Terminal gravity">${said(numberText(came.gravity, 4), `${came.stalled ? 'where it stalled, ' : ''}${came.by === 'person' ? 'measured by hand' : 'by the sensor, freed of its offset'}`)}</td>
  <td data-label="Within half a point of it">${said(zone.moment(came.halfPointAt))}</td></tr>
  </tbody></table></div>`;

export const columnsTable = ({ history }: Outcome): Html => {
  const { understood, record } = history;
  return html`<section class="scroller" tabindex="0" aria-label="Columns of the file"><table class="figures">
  <thead><tr><th scope="col">Column of the file</th><th scope="col">Taken as</th><th scope="col">Values</th><th scope="col">Lowest</th><th scope="col">Highest</th></tr></thead>
  <tbody>${understood.columns.map((column, index) => {
    if (column.kind === 'unnamed') return '';
    const name = html`<th scope="row">${column.column}. ${column.heading}</th>`;
    if (column.kind === 'time')
      return html`<tr>${name}<td>time</td><td>${understood.rows}</td><td></td><td></td></tr>`;
    if (column.kind === 'left-out')
      return html`<tr>${name}<td>left out</td><td></td><td></td><td></td></tr>`;
    const { channel, unit } = column;
    const values = pointsOf(record, channel).map(([, value]) => value);
    const own = (stored: number): string => {
      const value = unit.fromStored(stored);
      return value === null
        ? ''
        : `${numberText(value, digitsOf(channel, unit.symbol))}\u00a0${unit.symbol}`;
    };
    const shown = shownAs[channel].unit;
    const turned = shown === unit.symbol ? '' : `, ${unit.symbol} turned into ${shown}`;
    return html`<tr>${name}<td>${channelWords[channel].toLowerCase()}${turned}</td><td>${understood.values[index] ?? 0}</td>
    <td>${values.length === 0 ? '' : own(values.reduce((a, b) => Math.min(a, b)))}</td>
    <td>${values.length === 0 ? '' : own(values.reduce((a, b) => Math.max(a, b)))}</td></tr>`;
  })}</tbody></table></section>`;
};

/** Digits to which a value is read in the file's own unit: a gravity to a tenth of a point, a pressure to a hundredth. */
const digitsOf = (channel: Channel, unit: string): number => {
  if (channel === 'gravity') return unit === 'SG' ? 4 : 2;
  return ['Pa', 'hPa', 'kg/m3', 'ppm'].includes(unit) ? 0 : channel.endsWith('-pressure') ? 2 : 1;
};

/** Rows of the course as a table: enough to follow it, few enough to read. Chosen by us. */
const courseRows = 48;

/** Lowest and highest reading of each channel in even steps, for who cannot see the drawing. */
export const courseTable = ({ history }: Outcome, zone: Zone): Html => {
  const { record } = history;
  const channels = channelsOf(record);
  const step = (record.ends - record.begins) / courseRows;
  const held = channels.map((channel) => {
    const steps = new Map<number, { low: number; high: number }>();
    for (const [time, value] of pointsOf(record, channel)) {
      const index = Math.min(
        courseRows - 1,
        Math.floor((time - record.begins) / Math.max(1, step)),
      );
      const own = steps.get(index);
      if (own === undefined) steps.set(index, { low: value, high: value });
      else {
        own.low = Math.min(own.low, value);
        own.high = Math.max(own.high, value);
      }
    }
    return { channel, steps };
  });
  return html`<details class="chart-table"><summary>The same as a table</summary><section class="scroller" tabindex="0" aria-label="The course as a table"><table class="figures">
  <thead><tr><th scope="col">From</th>${channels.map((channel) => html`<th scope="col">${channelWords[channel]}, ${shownAs[channel].unit}</th>`)}</tr></thead>
  <tbody>${Array.from({ length: courseRows }, (_none, index) => {
    if (!held.some(({ steps }) => steps.has(index))) return '';
    return html`<tr><th scope="row">${zone.moment(record.begins + index * step)}</th>${held.map(
      ({ channel, steps }) => {
        const own = steps.get(index);
        if (own === undefined) return html`<td></td>`;
        const [low, high] = [channelFigure(channel, own.low), channelFigure(channel, own.high)];
        return html`<td>${low === high ? low : `${low} to ${high}`}</td>`;
      },
    )}</tr>`;
  })}</tbody></table></section></details>`;
};
