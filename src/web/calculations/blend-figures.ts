/** What is known of a finished blend, as figures: shared by the blend, its shares and its drawing sheet. */
import type { Blend, Total } from '../../science/blend.ts';
import { byVolume, gramPerLitre, gravityUnit, litre, percent, volumes } from './drink-fields.ts';
import type { Figures, ResultsOf } from './figure.ts';
import { asbcCubic, balling, massBalance, oimlR22, tabarie } from './source.ts';

const unknown = 'not known of every component';

export const blendFigures = {
  alcoholByVolumePercent: {
    kind: 'number',
    label: 'Alcohol',
    ...byVolume,
    decimals: 2,
    sources: [massBalance, tabarie, oimlR22],
  },
  volumeLitre: {
    kind: 'number',
    label: 'Volume at 20 °C',
    ...litre,
    decimals: 2,
    sources: [massBalance, tabarie],
  },
  massKilogram: {
    kind: 'number',
    label: 'Mass',
    unit: 'kg',
    measure: 'mass',
    decimals: 2,
    sources: [massBalance],
  },
  contractionShare: {
    kind: 'number',
    label: 'Lost by contraction',
    ...percent,
    decimals: 2,
    sources: [massBalance, tabarie, oimlR22],
  },
  gravity: {
    kind: 'number',
    label: 'Gravity',
    ...gravityUnit,
    decimals: 4,
    sources: [massBalance, tabarie],
  },
  extractGramPerLitre: {
    kind: 'number',
    label: 'Real extract',
    ...gramPerLitre,
    decimals: 1,
    sources: [massBalance],
  },
  originalExtractPlato: {
    kind: 'number',
    label: 'Original extract of one fermentation to the same',
    unit: '°P',
    decimals: 1,
    sources: [massBalance, balling],
  },
  apparentExtractPlato: {
    kind: 'number',
    label: 'Apparent extract',
    unit: '°P',
    decimals: 2,
    sources: [massBalance, tabarie, asbcCubic],
  },
  fermentableGramPerLitre: {
    kind: 'number',
    label: 'Fermentable extract',
    ...gramPerLitre,
    decimals: 1,
    none: unknown,
    sources: [massBalance],
  },
  titratableAcidGramPerLitre: {
    kind: 'number',
    label: 'Titratable acid, as tartaric',
    ...gramPerLitre,
    decimals: 1,
    none: unknown,
    sources: [massBalance],
  },
  freeSulphurDioxideMilligramPerLitre: {
    kind: 'number',
    label: 'Free sulphur dioxide, at most',
    unit: 'mg/L',
    decimals: 0,
    none: unknown,
    sources: [massBalance],
  },
  carbonDioxideGramPerLitre: {
    kind: 'number',
    label: 'Carbonation, at most',
    ...volumes,
    decimals: 2,
    none: unknown,
    sources: [massBalance],
  },
  acidity: { kind: 'sentence', label: 'pH', sources: [massBalance] },
} as const satisfies Figures;

const knownValue = (total: Total): number | null => (total.kind === 'known' ? total.value : null);

const acidityIn = (range: Blend['pHRange']): string =>
  range === null
    ? 'pH does not add up: measure it in the blend.'
    : `Its components stand between pH ${range.low.toFixed(2)} and ${range.high.toFixed(2)}. pH does not add up: measure it in the blend.`;

export const figuresOf = (made: Blend): ResultsOf<typeof blendFigures> => ({
  alcoholByVolumePercent: made.drink.alcoholByVolumePercent,
  volumeLitre: made.volumeLitre,
  massKilogram: made.massKilogram,
  contractionShare: made.contraction,
  gravity: made.gravity,
  extractGramPerLitre: made.drink.extractGramPerLitre,
  originalExtractPlato: made.originalExtractPlato,
  apparentExtractPlato: made.apparentExtractPlato,
  fermentableGramPerLitre: knownValue(made.fermentableGramPerLitre),
  titratableAcidGramPerLitre: knownValue(made.titratableAcidGramPerLitre),
  freeSulphurDioxideMilligramPerLitre: knownValue(made.freeSulphurDioxideMilligramPerLitre),
  carbonDioxideGramPerLitre: knownValue(made.carbonDioxideGramPerLitre),
  acidity: acidityIn(made.pHRange),
});
