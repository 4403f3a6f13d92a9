/** The accuracy table as README prints it, between its two marks. */
import { accuracyTable } from './accuracy-table.ts';

export const accuracyBegins = '<!-- accuracy table: begins (npm run accuracy writes it) -->';
export const accuracyEnds = '<!-- accuracy table: ends -->';

const figure = (value: number): string => (value < 1e-3 ? value.toExponential() : String(value));

export const accuracyMarkdown = (): string =>
  [
    '| quantity | compared with | rows | mean error | greatest error | unit |',
    '|---|---|---|---|---|---|',
    ...Object.values(accuracyTable).map(
      ({ quantity, source, truth, rows, mean, max, unit }) =>
        `| ${quantity} | ${source} (${truth}) | ${rows} | ${figure(mean)} | ${figure(max)} | ${unit} |`,
    ),
  ].join('\n');
