/** A bench trial in millilitres brought to production litres, as the sheet to draw by. */
import { ok } from '../../result.ts';
import { scaleUp } from '../../science/scale-up.ts';
import { blendFigures, figuresOf } from './blend-figures.ts';
import { calculation } from './calculation.ts';
import {
  componentName,
  compositionFields,
  compositionOf,
  elderberryWine,
  faultInNames,
  placesOfRows,
  rooibosInfusion,
  wheatBeer,
} from './composition-fields.ts';
import { litre } from './drink-fields.ts';
import { given, ifKnown, preset, rows } from './field.ts';
import { located } from './located.ts';
import { drawingOrder, massBalance, tabarie } from './source.ts';

export const drawingSheet = calculation({
  name: 'scale-up',
  title: 'Drawing sheet from a bench trial',
  purpose: 'Brings a trial blend in millilitres to production litres, in the order to draw them.',
  inputs: {
    wantedLitre: given({
      label: 'Blend wanted',
      ...litre,
      hint: 'At 20 °C.',
      example: 45,
    }),
    measureStepLitre: preset(0.1, {
      label: 'Smallest measure',
      ...litre,
      hint: 'Each amount is rounded to it.',
    }),
    vesselVolumeLitre: given({ label: 'Whole volume of the vessel', ...litre, example: 50 }),
    headspaceLitre: given({ label: 'Headspace to leave', ...litre, example: 2.5 }),
    lines: rows({
      label: 'Components of the trial',
      each: 'Component',
      hint: 'Leave a row blank if there is none.',
      least: 1,
      most: 12,
      offered: 4,
      fields: {
        name: componentName,
        trialMillilitre: given({ label: 'In the trial', unit: 'mL', example: 60 }),
        ...compositionFields,
        availableLitre: ifKnown({
          label: 'In the cellar',
          ...litre,
          example: 100,
          seldom: true,
        }),
      },
      example: [
        { ...wheatBeer, trialMillilitre: 60 },
        { ...elderberryWine, trialMillilitre: 25, availableLitre: 100 },
        { ...rooibosInfusion, trialMillilitre: 15 },
      ],
    }),
  },
  answers: {
    sheet: {
      kind: 'table',
      label: 'Draw in this order',
      columns: {
        order: { kind: 'number', label: 'No.', unit: '', decimals: 0 },
        name: { kind: 'name', label: 'Component' },
        drawLitre: { kind: 'number', label: 'Draw', unit: 'L', decimals: 2 },
        drawKilogram: { kind: 'number', label: 'or weigh', unit: 'kg', decimals: 2 },
        soFarLitre: { kind: 'number', label: 'So far', unit: 'L', decimals: 2 },
        soFarKilogram: { kind: 'number', label: 'So far', unit: 'kg', decimals: 2 },
      },
      sources: [drawingOrder, massBalance],
    },
    ...blendFigures,
    factor: {
      kind: 'number',
      label: 'Times the trial',
      unit: '',
      decimals: 1,
      sources: [massBalance, tabarie],
    },
  },
  work: ({ lines, ...sheet }) => {
    const names = lines.map(({ name }) => name);
    const alike = faultInNames('lines', names);
    if (alike !== null) return alike;
    const drawn = scaleUp({
      ...sheet,
      lines: lines.map((row) => ({
        ...compositionOf(row),
        name: row.name,
        trialMillilitre: row.trialMillilitre,
        availableLitre: row.availableLitre,
      })),
    });
    if (!drawn.ok) {
      const renamed = { litre: 'trialMillilitre', measureStepLitre: 'trialMillilitre' };
      return located(
        drawn,
        placesOfRows('lines', names, drawn.fault, { components: 'lines' }, renamed),
      );
    }
    const { lines: drawLines, factor, production } = drawn.value;
    return ok({
      sheet: drawLines.map(({ trialMillilitre: _, ...line }) => line),
      ...figuresOf(production),
      factor,
    });
  },
});
