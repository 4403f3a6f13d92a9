/** What is drawn over a panel besides its lines: limits with their words, marks, the present moment. */
import type uPlot from 'uplot';
import type { ChartMark } from '../chart-data.ts';
import { chartWords } from '../messages.ts';
import type { LimitLine } from './chart-panels.ts';
import { canvasFont, colour } from './colour.ts';

const ratio = (): number => devicePixelRatio;

const labelled = (
  context: CanvasRenderingContext2D,
  words: string,
  at: { readonly x: number; readonly y: number },
  ink: string,
  align: CanvasTextAlign,
): void => {
  context.font = canvasFont(12.5 * ratio());
  context.textAlign = align;
  context.textBaseline = 'bottom';
  context.lineJoin = 'round';
  context.lineWidth = 4 * ratio();
  context.setLineDash([]);
  context.strokeStyle = colour('--paper');
  context.strokeText(words, at.x, at.y);
  context.fillStyle = ink;
  context.fillText(words, at.x, at.y);
};

export const drawLimits = (plot: uPlot, limits: readonly LimitLine[]): void => {
  const { ctx: context, bbox } = plot;
  context.save();
  for (const limit of limits) {
    const y = Math.round(plot.valToPos(limit.value, 'y', true));
    if (y < bbox.top || y > bbox.top + bbox.height) continue;
    const ink = colour(limit.hard ? '--high' : '--ink-soft');
    context.strokeStyle = ink;
    context.lineWidth = (limit.hard ? 2 : 1) * ratio();
    context.setLineDash(limit.dashed ? [7 * ratio(), 5 * ratio()] : []);
    context.beginPath();
    context.moveTo(bbox.left, y);
    context.lineTo(bbox.left + bbox.width, y);
    context.stroke();
    labelled(
      context,
      limit.words,
      {
        x: limit.end === 'left' ? bbox.left + 6 * ratio() : bbox.left + bbox.width - 6 * ratio(),
        y: y - 3 * ratio(),
      },
      ink,
      limit.end,
    );
  }
  context.restore();
};

const upright = (plot: uPlot, at: number, dash: readonly number[], ink: string): number | null => {
  const { ctx: context, bbox } = plot;
  const x = Math.round(plot.valToPos(at, 'x', true));
  if (x < bbox.left || x > bbox.left + bbox.width) return null;
  context.strokeStyle = ink;
  context.lineWidth = ratio();
  context.setLineDash(dash.map((length) => length * ratio()));
  context.beginPath();
  context.moveTo(x, bbox.top);
  context.lineTo(x, bbox.top + bbox.height);
  context.stroke();
  return x;
};

/** Happenings that ask nothing of anybody. */
const calmKinds: ReadonlySet<string> = new Set([
  'fermentation-finished',
  'fermentation-restarted',
  'sensor-moved',
]);

/** Numbered pennants: solid for an alarm, hollow for a plain happening; the list below has the words. */
export const drawMarks = (plot: uPlot, marks: readonly ChartMark[], numbered: boolean): void => {
  const { ctx: context, bbox } = plot;
  context.save();
  marks.forEach((mark, index) => {
    const calm = calmKinds.has(mark.kind);
    const ink = colour(calm ? '--ink-soft' : '--high');
    const x = upright(plot, mark.at, calm ? [2, 4] : [], ink);
    if (x === null || !numbered) return;
    const size = 17 * ratio();
    const way = x + size * 1.35 > bbox.left + bbox.width ? -1 : 1;
    context.setLineDash([]);
    context.beginPath();
    context.moveTo(x, bbox.top);
    context.lineTo(x + way * size, bbox.top);
    context.lineTo(x + way * size * 1.35, bbox.top + size / 2);
    context.lineTo(x + way * size, bbox.top + size);
    context.lineTo(x, bbox.top + size);
    context.closePath();
    context.fillStyle = calm ? colour('--paper') : ink;
    context.fill();
    context.stroke();
    context.fillStyle = calm ? ink : colour('--paper');
    context.font = `700 ${canvasFont(12 * ratio())}`;
    context.textAlign = 'center';
    context.textBaseline = 'middle';
    context.fillText(String(index + 1), x + way * size * 0.55, bbox.top + size * 0.54);
  });
  context.restore();
};

export const drawPresent = (plot: uPlot, now: number, named: boolean): void => {
  const { ctx: context, bbox } = plot;
  context.save();
  const ink = colour('--ink-soft');
  const x = upright(plot, now, [1, 3], ink);
  if (x !== null && named && x < bbox.left + bbox.width - 8 * ratio())
    labelled(
      context,
      chartWords.present,
      { x: x + 5 * ratio(), y: bbox.top + bbox.height - 4 * ratio() },
      ink,
      'left',
    );
  context.restore();
};
