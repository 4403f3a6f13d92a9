/**
 * A drink with fermentable extract left that goes into a closed vessel: what it could do to its rating if yeast took
 * it, by science/refermentation.ts. Judged when the batch or the vessel changes, not with each reading.
 * Pure: no I/O, no clock.
 */
import { gramPerLitreFromVolumes } from '../../science/carbonation.ts';
import { type Refermentation, refermentation } from '../../science/refermentation.ts';
import type { Finding } from '../finding.ts';
import { closedVesselOf } from '../pressure/closed-drink.ts';
import type { Watched } from '../watched.ts';
import { limitOf } from './limits.ts';
import { plainFinding, type StageView } from './stage-view.ts';

/** What was judged, in short, and whether it came out dangerous. */
export type Potential = { readonly of: string; readonly dangerous: boolean };

/** Volumes in a drink that was never carbonated. Assumption: at rest with its own gas near 20 °C. */
const uncarbonatedVolumes = 0.85;

/** Extract, g/L, too little to matter. Chosen by us: 2 g/L make half a volume. */
const leastGramPerLitre = 2;

export const potentialOf = (before: Potential | null, view: StageView): Potential => {
  const { vessel, batch } = view.watched;
  const warmest = warmestOf(view);
  const of = JSON.stringify([
    view.stage,
    warmest,
    batch?.drink,
    batch?.fermentableGramPerLitre,
    batch?.carbonationVolumes,
    batch?.originalGravity,
    batch?.expectedTerminalGravity,
    vessel.volumeLitre,
    vessel.headspaceLitre,
    vessel.ratedGaugePressurePascal,
  ]);
  if (before?.of === of) return before;
  const judged = judgedPotential(view);
  return { of, dangerous: judged !== null && judged.verdict !== 'within-rating' };
};

/** High where a rating is known and could be passed: people stand beside it. Medium where none is known. */
export const refermentationPotential = (view: StageView, potential: Potential): Finding => {
  const rated = view.watched.vessel.ratedGaugePressurePascal !== null;
  return plainFinding(
    'refermentation-potential',
    potential.dangerous ? 'holds' : 'clear',
    view.now,
    rated ? 'high' : 'medium',
    () => {
      const judged = judgedPotential(view);
      const extract = view.batch.fermentableGramPerLitre ?? 0;
      return {
        evidence: `the drink holds ${extract.toFixed(1)} g/L of fermentable extract in a closed vessel. ${judged?.words ?? 'It cannot build up pressure here as far as is known.'}`,
        likelyCauses: [
          'a component of the blend was not fermented out, or was sweetened',
          'yeast is alive in one component, and sugar is left in another',
        ],
        checkFirst: judged?.remedies ?? [],
        caution: judged?.caution ?? null,
        source:
          'Pressure at rest by mass balance (Henry constant after Carroll, Slupsky and Mather 1991); gas by stoichiometry, 0.514 g per g of extract.',
      };
    },
  );
};

const closedKinds: ReadonlySet<string> = new Set(['keg', 'bright-tank']);

/** Open vessels let gas go; a blending tank counts as closed where its nameplate names a pressure. */
const isClosed = ({ vessel }: Watched): boolean =>
  closedKinds.has(vessel.kind) || vessel.ratedGaugePressurePascal !== null;

const warmestOf = ({ watched, stage }: StageView): number =>
  (stage === 'conditioning' || stage === 'blending' || stage === 'keg'
    ? limitOf(watched, stage, 'warmestCelsius')
    : null) ?? 25;

const judgedPotential = (view: StageView): Refermentation | null => {
  const { watched, batch } = view;
  const fermentable = batch.fermentableGramPerLitre ?? null;
  if (fermentable === null || fermentable < leastGramPerLitre || !isClosed(watched)) return null;
  const warmestCelsius = warmestOf(view);
  const vessel = closedVesselOf(watched, Math.min(warmestCelsius, 4));
  const found = refermentation({
    vessel: {
      ...vessel,
      // What is said to ferment is in the drink, whatever else is known of it.
      drink: {
        ...vessel.drink,
        extractGramPerLitre: Math.max(vessel.drink.extractGramPerLitre, fermentable),
      },
    },
    ratedGaugePressurePascal: watched.vessel.ratedGaugePressurePascal,
    carbonDioxideGramPerLitre: gramPerLitreFromVolumes(
      batch.carbonationVolumes ?? uncarbonatedVolumes,
    ),
    fermentableGramPerLitre: fermentable,
    warmestCelsius,
    yeast: 'present',
  });
  return found.ok ? found.value : null;
};
