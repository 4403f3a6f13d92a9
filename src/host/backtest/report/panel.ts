/**
 * One panel of the report's chart as HTML with inline SVG. Paths lie in a box that is stretched to the panel's width;
 * words, pennants and lines are placed in per cent beside it, so that a phone, a wide screen and an A4 sheet all get
 * type of one size from one drawing, without a script. Pure: no I/O, no clock.
 */
import { html } from 'hono/html';
import type { Priority } from '../../../monitoring/alarms/alarm.ts';
import { type Pennant, pennantRows } from './pennants.ts';
import type { TimeTick } from './ticks.ts';
import { box, placeX, type Range, type Trace } from './trace.ts';

export type Html = ReturnType<typeof html>;

export type PanelLimit = {
  readonly value: number;
  readonly words: string;
  /** A hard line is where someone can be hurt; a soft one is where the drink suffers. */
  readonly hard: boolean;
  readonly dashed: boolean;
  readonly end: 'left' | 'right';
};

export type PanelMark = {
  /** Unix seconds. */
  readonly at: number;
  readonly number: number;
  /** Null for a happening that asks nothing of anybody. */
  readonly priority: Priority | null;
};

export type Panel = {
  readonly title: string;
  /** What a reader who cannot see the drawing is told. */
  readonly summary: string;
  /** Pixels. */
  readonly height: number;
  readonly span: Range;
  readonly range: Range;
  readonly ticks: readonly {
    readonly value: number;
    readonly words: string;
    readonly other: string;
  }[];
  /** Beside the title: the unit of the second axis, which is the file's own, or a moment; null for nothing. */
  readonly beside: string | null;
  /** Whether room is kept for a second axis, so that panels below each other share their times. */
  readonly twoAxes: boolean;
  readonly times: readonly TimeTick[];
  /** Whether the times are written below. */
  readonly timed: boolean;
  readonly readings: Trace;
  /** Readings that came only later; drawn faintly. */
  readonly laterReadings: Trace | null;
  readonly curve: { readonly line: string; readonly band: string } | null;
  readonly limits: readonly PanelLimit[];
  readonly marks: readonly PanelMark[];
  readonly pennants: readonly Pennant[];
  /** Unix seconds from which the panel looks ahead. */
  readonly from: number | null;
};

const pennantHeight = 18;
const pennantStep = 22;
const timesHeight = 26;

const percent = (time: number, span: Range): string => `${placeX(time, span) / (box / 100)}%`;

const traceHtml = (trace: Trace, kind: string): Html => html`
  ${trace.envelope === '' ? '' : html`<path class="envelope ${kind}" d="${trace.envelope}" />`}
  ${trace.line === '' ? '' : html`<path class="line ${kind}" d="${trace.line}" />`}
  ${trace.dots === '' ? '' : html`<path class="dots ${kind}" d="${trace.dots}" />`}`;

const pennantHtml = (pennant: Pennant, mark: PanelMark | undefined): Html => {
  const way = pennant.flipped ? -1 : 1;
  const tip = pennantHeight / 2;
  const rank = mark?.priority ?? null;
  return html`<svg x="${pennant.x}%" y="${pennant.row * pennantStep}" overflow="visible">
    <a href="#mark-${pennant.number}" aria-label="mark ${pennant.number}" class="${rank === null ? 'calm' : `rank-${rank}`}">
      <path class="pennant" d="M0 0h${17 * way}l${6 * way} ${tip}l${-6 * way} ${tip}h${-17 * way}Z" />
      <text class="pennant-number" x="${9.5 * way}" y="${tip}" dy="0.36em" text-anchor="middle">${pennant.number}</text>
    </a></svg>`;
};

export const panelHtml = (panel: Panel): Html => {
  const { span, range, height } = panel;
  const strip = pennantRows(panel.pennants) * pennantStep;
  const bottom = strip + height;
  const whole = bottom + (panel.timed ? timesHeight : 2);
  const y = (value: number): number =>
    Math.round((strip + height * (1 - (value - range[0]) / (range[1] - range[0]))) * 10) / 10;
  const values = (
    side: 'own' | 'other',
  ): Html => html`<svg class="trace-values trace-${side}" width="100%" height="${whole}" aria-hidden="true">
    ${panel.ticks.map(
      ({ value, words, other }) =>
        html`<text x="${side === 'own' ? '100%' : '0'}" dx="${side === 'own' ? -7 : 7}" y="${y(value)}" dy="0.34em" text-anchor="${side === 'own' ? 'end' : 'start'}">${side === 'own' ? words : other}</text>`,
    )}</svg>`;
  return html`<figure class="trace">
  <figcaption><span class="panel-title">${panel.title}</span>${
    panel.beside === null ? '' : html`<span class="readout">${panel.beside}</span>`
  }</figcaption>
  <div class="trace-frame${panel.twoAxes ? ' trace-two' : ''}">
    ${values('own')}
    <svg class="trace-plot" width="100%" height="${whole}">
      ${panel.ticks.map(({ value }) => html`<line class="grid" x1="0" x2="100%" y1="${y(value)}" y2="${y(value)}" />`)}
      ${panel.times.map(({ at }) => html`<line class="grid" x1="${percent(at, span)}" x2="${percent(at, span)}" y1="${strip}" y2="${bottom}" />`)}
      <svg y="${strip}" width="100%" height="${height}" viewBox="0 0 ${box} ${box}" preserveAspectRatio="none" role="img" aria-label="${panel.summary}">
        ${panel.curve === null ? '' : html`<path class="band" d="${panel.curve.band}" />`}
        ${panel.laterReadings === null ? '' : traceHtml(panel.laterReadings, 'later')}
        ${traceHtml(panel.readings, 'heard')}
        ${panel.curve === null ? '' : html`<path class="curve" d="${panel.curve.line}" />`}
      </svg>
      ${panel.limits.map((limit) => {
        const at = y(limit.value);
        const look = `${limit.hard ? 'hard' : 'soft'}${limit.dashed ? ' dashed' : ''}`;
        const right = limit.end === 'right';
        return html`<line class="limit ${look}" x1="0" x2="100%" y1="${at}" y2="${at}" />
        <text class="limit-words ${look}" x="${right ? '100%' : '0'}" dx="${right ? -6 : 6}" y="${at - 4}" text-anchor="${right ? 'end' : 'start'}">${limit.words}</text>`;
      })}
      ${
        panel.from === null
          ? ''
          : html`<line class="from" x1="${percent(panel.from, span)}" x2="${percent(panel.from, span)}" y1="${strip}" y2="${bottom}" />`
      }
      ${panel.marks.map(({ at, number, priority }) => {
        const pennant = panel.pennants.find((one) => one.number === number);
        const top = pennant === undefined ? strip : pennant.row * pennantStep;
        return html`<line class="upright ${priority === null ? 'calm' : `rank-${priority}`}" x1="${percent(at, span)}" x2="${percent(at, span)}" y1="${top}" y2="${bottom}" />`;
      })}
      ${panel.pennants.map((pennant) =>
        pennantHtml(
          pennant,
          panel.marks.find(({ number }) => number === pennant.number),
        ),
      )}
      ${
        panel.timed
          ? panel.times.map(
              ({ at, words, always }) =>
                html`<text class="time${always ? '' : ' wide'}" x="${percent(at, span)}" y="${bottom + 18}" text-anchor="middle">${words}</text>`,
            )
          : ''
      }
    </svg>
    ${panel.ticks.some(({ other }) => other !== '') ? values('other') : ''}
  </div>
</figure>`;
};
