/** A fermenter with an ale in it, begun at a moment of the test's choosing (Unix seconds). */
import type { Watched } from '../../src/monitoring/watched.ts';

export const harbourAle = (start: number): Watched => ({
  vessel: {
    vessel: 'fermenter-1',
    title: 'Fermenter 1',
    kind: 'fermenter',
    volumeLitre: 120,
    headspaceLitre: 20,
    ratedGaugePressurePascal: 150_000,
    reliefGaugePressurePascal: null,
    gasConnected: false,
    temperatureBand: { lowCelsius: 16, highCelsius: 22 },
  },
  batch: {
    batch: 'harbour-9',
    title: 'Harbour ale 9',
    drink: 'ale',
    stage: 'fermentation',
    startedAt: start,
    endedAt: null,
    originalGravity: 1.05,
    expectedTerminalGravity: 1.012,
    attenuationLimit: null,
    temperatureBand: null,
    carbonationVolumes: null,
  },
});
