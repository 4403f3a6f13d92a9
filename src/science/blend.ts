/**
 * A blend from its components: what it holds, by mass balance.
 *
 * Mass, alcohol, extract, fermentable extract, titratable acid, free sulphur dioxide and carbon dioxide
 * add up in grams; volume does not. The volume is that of the added-up parts (parts.ts), corrected by how
 * the components' own measured densities depart from their modelled ones, so that a drink blended with
 * itself stays as it is. pH does not add up: it depends on every buffer present, so it is left open and
 * its range given. Free sulphur dioxide is the most there can be (some binds to what it meets); carbon
 * dioxide likewise (mixing lets some go).
 * Volumes are at 20 °C unless a temperature is given. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { originalExtractFrom } from './balling.ts';
import { type Drink, drinkDensityAt20, expansionAt, liquidBounds } from './drink-density.ts';
import { pureEthanolDensity } from './ethanol-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { extractAt } from './gravity.ts';
import { type Parts, strengthOf, volumeOf } from './parts.ts';
import { densityAt20FromGravity, gravityFromDensityAt20 } from './sucrose-density.ts';

export type Amount =
  | { readonly kind: 'volume'; readonly litre: number; readonly atCelsius: number }
  | { readonly kind: 'mass'; readonly kilogram: number };

/** What a component holds; null where nobody measured it. Per litre at 20 °C. */
export type Composition = Drink & {
  /** The part of the extract that yeast can ferment. */
  readonly fermentableGramPerLitre: number | null;
  /** As tartaric acid, the same for all components. */
  readonly titratableAcidGramPerLitre: number | null;
  readonly pH: number | null;
  readonly freeSulphurDioxideMilligramPerLitre: number | null;
  readonly carbonDioxideGramPerLitre: number | null;
  /** Apparent specific gravity 20/20, degassed; where null, the density is modelled. */
  readonly gravity: number | null;
};

export type Component = Composition & { readonly name: string; readonly amount: Amount };

/** A sum over the components, or the names of those that lack the value. */
export type Total =
  | { readonly kind: 'known'; readonly value: number }
  | { readonly kind: 'unknown'; readonly missing: readonly string[] };

export type Blend = {
  readonly massKilogram: number;
  /** At 20 °C. */
  readonly volumeLitre: number;
  /** The components' volumes at 20 °C added up. */
  readonly volumeAddedLitre: number;
  /**
   * What mixing takes away from the added-up volume, as a fraction of it. Strong spirit in water shrinks;
   * a wine thinned with water grows by some 0.05 %, as OIML R 22 has it, and the figure is negative.
   */
  readonly contraction: number;
  readonly densityKilogramPerCubicMetre: number;
  readonly gravity: number;
  readonly drink: Drink;
  readonly alcoholMassPercent: number;
  readonly realExtractPlato: number;
  readonly apparentExtractPlato: number;
  /** The extract a single fermentation would have started from, by Balling. */
  readonly originalExtractPlato: number;
  readonly fermentableGramPerLitre: Total;
  readonly titratableAcidGramPerLitre: Total;
  readonly freeSulphurDioxideMilligramPerLitre: Total;
  readonly carbonDioxideGramPerLitre: Total;
  /** Lowest and highest pH among the components; the blend's own must be measured. */
  readonly pHRange: { readonly low: number; readonly high: number } | null;
};

/** Less than this is none: a microlitre of a microlitre would only feed rounding errors. */
const nothingLitre = 1e-9;

/** A component brought to grams and to litres at 20 °C. */
type Portion = { readonly component: Component; readonly parts: Parts; readonly litre: number };

const outside = (component: Component): ScienceFault | null =>
  firstOutside([
    ...liquidBounds(component),
    [
      'fermentableGramPerLitre',
      component.fermentableGramPerLitre ?? 0,
      0,
      component.extractGramPerLitre,
      'g/L',
    ],
    ['titratableAcidGramPerLitre', component.titratableAcidGramPerLitre ?? 0, 0, 100, 'g/L'],
    ['pH', component.pH ?? 4, 2, 9, 'pH'],
    [
      'freeSulphurDioxideMilligramPerLitre',
      component.freeSulphurDioxideMilligramPerLitre ?? 0,
      0,
      400,
      'mg/L',
    ],
    ['carbonDioxideGramPerLitre', component.carbonDioxideGramPerLitre ?? 0, 0, 16, 'g/L'],
    ['gravity', component.gravity ?? 1, 0.78, 1.33, 'SG 20/20'],
    component.amount.kind === 'mass'
      ? ['kilogram', component.amount.kilogram, 0, 1e6, 'kg']
      : ['litre', component.amount.litre, 0, 1e6, 'L'],
    [
      'atCelsius',
      component.amount.kind === 'volume' ? component.amount.atCelsius : 20,
      0,
      40,
      '°C',
    ],
  ]);

const portionOf = (component: Component): Portion => {
  const density =
    component.gravity === null
      ? drinkDensityAt20(component)
      : densityAt20FromGravity(component.gravity);
  const litre =
    component.amount.kind === 'mass'
      ? (1000 * component.amount.kilogram) / density
      : component.amount.litre / expansionAt(component, component.amount.atCelsius);
  return {
    component,
    litre,
    parts: {
      mass: litre * density,
      extract: litre * component.extractGramPerLitre,
      alcohol: (litre * component.alcoholByVolumePercent * pureEthanolDensity) / 100,
    },
  };
};

const added = (portions: readonly Portion[]): Parts =>
  portions.reduce(
    (sum, { parts }) => ({
      mass: sum.mass + parts.mass,
      extract: sum.extract + parts.extract,
      alcohol: sum.alcohol + parts.alcohol,
    }),
    { mass: 0, extract: 0, alcohol: 0 },
  );

const totalOf = (
  portions: readonly Portion[],
  volumeLitre: number,
  read: (component: Component) => number | null,
): Total => {
  const used = portions.filter(({ litre }) => litre > nothingLitre);
  const missing = used
    .filter(({ component }) => read(component) === null)
    .map(({ component }) => component.name);
  if (missing.length > 0) return { kind: 'unknown', missing };
  const sum = used.reduce(
    (whole, { component, litre }) => whole + litre * (read(component) ?? 0),
    0,
  );
  return { kind: 'known', value: sum / volumeLitre };
};

/** The blend of all components. */
export const blend = (components: readonly Component[]): Result<Blend, ScienceFault> => {
  for (const component of components) {
    const fault = outside(component);
    if (fault) return fail({ ...fault, field: `${component.name}: ${fault.field}` });
  }
  const portions = components.map(portionOf);
  const parts = added(portions);
  const addedLitre = portions.reduce((sum, { litre }) => sum + litre, 0);
  if (!(addedLitre > nothingLitre)) {
    return fail({
      kind: 'no-solution',
      field: 'components',
      reason: 'nothing is in the blend; give at least one component with an amount above zero',
    });
  }
  const modelledLitre = portions.reduce(
    (sum, { parts: own, litre }) => sum + (litre > nothingLitre ? volumeOf(own) : 0),
    0,
  );
  const volumeLitre = (addedLitre * volumeOf(parts)) / modelledLitre;
  const density = parts.mass / volumeLitre;
  const gravity = gravityFromDensityAt20(density);
  const alcoholMassPercent = (100 * parts.alcohol) / parts.mass;
  const realExtractPlato = (100 * parts.extract) / parts.mass;
  const known = portions
    .filter(({ litre }) => litre > nothingLitre)
    .flatMap(({ component }) => (component.pH === null ? [] : [component.pH]));
  const total = (read: (component: Component) => number | null): Total =>
    totalOf(portions, volumeLitre, read);
  return ok({
    massKilogram: parts.mass / 1000,
    volumeLitre,
    volumeAddedLitre: addedLitre,
    contraction: 1 - volumeLitre / addedLitre,
    densityKilogramPerCubicMetre: density,
    gravity,
    drink: {
      alcoholByVolumePercent: strengthOf(parts, volumeLitre),
      extractGramPerLitre: parts.extract / volumeLitre,
    },
    alcoholMassPercent,
    realExtractPlato,
    apparentExtractPlato: extractAt(gravity),
    originalExtractPlato: originalExtractFrom(alcoholMassPercent, realExtractPlato),
    fermentableGramPerLitre: total((one) => one.fermentableGramPerLitre),
    titratableAcidGramPerLitre: total((one) => one.titratableAcidGramPerLitre),
    freeSulphurDioxideMilligramPerLitre: total((one) => one.freeSulphurDioxideMilligramPerLitre),
    carbonDioxideGramPerLitre: total((one) => one.carbonDioxideGramPerLitre),
    pHRange:
      known.length === 0
        ? null
        : {
            low: known.reduce((low, pH) => Math.min(low, pH)),
            high: known.reduce((high, pH) => Math.max(high, pH)),
          },
  });
};
