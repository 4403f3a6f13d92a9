/** Three drinks of an invented yard, for the blending tests. */
import type { Composition } from '../../src/science/blend.ts';

export const wheatBeer: Composition = {
  alcoholByVolumePercent: 4.8,
  extractGramPerLitre: 42,
  fermentableGramPerLitre: 3,
  titratableAcidGramPerLitre: 2,
  pH: 4.2,
  freeSulphurDioxideMilligramPerLitre: 0,
  carbonDioxideGramPerLitre: 4.2,
  gravity: null,
};

export const elderberryWine: Composition = {
  alcoholByVolumePercent: 18,
  extractGramPerLitre: 110,
  fermentableGramPerLitre: 85,
  titratableAcidGramPerLitre: 6.5,
  pH: 3.5,
  freeSulphurDioxideMilligramPerLitre: 30,
  carbonDioxideGramPerLitre: 0.1,
  gravity: null,
};

export const rooibosInfusion: Composition = {
  alcoholByVolumePercent: 0,
  extractGramPerLitre: 4,
  fermentableGramPerLitre: 0.5,
  titratableAcidGramPerLitre: 0.3,
  pH: 5.2,
  freeSulphurDioxideMilligramPerLitre: 0,
  carbonDioxideGramPerLitre: 0,
  gravity: null,
};

/** A component of which nobody measured anything but alcohol and extract. */
export const unmeasured = {
  fermentableGramPerLitre: null,
  titratableAcidGramPerLitre: null,
  pH: null,
  freeSulphurDioxideMilligramPerLitre: null,
  carbonDioxideGramPerLitre: null,
  gravity: null,
} as const;
