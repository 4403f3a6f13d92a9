/** A vented fermenter of a hectolitre without a rating, and a batch of which nothing is known. */
import type { Watched } from '../../src/monitoring/watched.ts';

export const hectolitreFermenter: Watched['vessel'] = {
  vessel: 'fermenter-1',
  title: 'Fermenter 1',
  kind: 'fermenter',
  volumeLitre: 125,
  headspaceLitre: 25,
  ratedGaugePressurePascal: null,
  reliefGaugePressurePascal: null,
  gasConnected: false,
  temperatureBand: null,
};
