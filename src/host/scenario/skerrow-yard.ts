/**
 * Skerrow Yard, a small producer on the Isle of Hallin. Place, people and drinks are invented.
 * Ingrith Vane brews, Tobin Askew keeps the cellar. Pure data.
 */
import type { Batch } from '../../monitoring/batch.ts';
import type { Vessel } from '../../monitoring/vessel.ts';

export const skerrowYard = { cellar: 'skerrow-yard', title: 'Skerrow Yard, Isle of Hallin' };

const bare = {
  ratedGaugePressurePascal: null,
  reliefGaugePressurePascal: null,
  gasConnected: false,
  temperatureBand: null,
} as const;

export const vessels = [
  {
    ...bare,
    vessel: 'fermenter-1',
    title: 'Fermenter 1',
    kind: 'fermenter',
    volumeLitre: 600,
    headspaceLitre: 110,
    ratedGaugePressurePascal: 100_000,
    reliefGaugePressurePascal: 90_000,
  },
  {
    ...bare,
    vessel: 'fermenter-2',
    title: 'Fermenter 2',
    kind: 'fermenter',
    volumeLitre: 600,
    headspaceLitre: 140,
    ratedGaugePressurePascal: 100_000,
    reliefGaugePressurePascal: 90_000,
  },
  {
    ...bare,
    vessel: 'fermenter-3',
    title: 'Fermenter 3, by the window',
    kind: 'fermenter',
    volumeLitre: 300,
    headspaceLitre: 60,
    ratedGaugePressurePascal: 100_000,
    reliefGaugePressurePascal: 90_000,
  },
  {
    ...bare,
    vessel: 'bright-tank',
    title: 'Bright tank',
    kind: 'bright-tank',
    volumeLitre: 500,
    headspaceLitre: 50,
    ratedGaugePressurePascal: 200_000,
    reliefGaugePressurePascal: 180_000,
    gasConnected: true,
  },
  {
    ...bare,
    vessel: 'keg-7',
    title: 'Keg 7, cold store',
    kind: 'keg',
    volumeLitre: 30,
    headspaceLitre: 1.2,
    ratedGaugePressurePascal: 300_000,
  },
  {
    ...bare,
    vessel: 'barrel-3',
    title: 'Barrel 3, oak',
    kind: 'barrel',
    volumeLitre: 225,
    headspaceLitre: 3,
  },
  {
    ...bare,
    vessel: 'steeping-tank',
    title: 'Steeping tank',
    kind: 'steeping-tank',
    volumeLitre: 200,
    headspaceLitre: 30,
  },
  {
    ...bare,
    vessel: 'tank-room',
    title: 'Tank room',
    kind: 'room',
    volumeLitre: 180_000,
    headspaceLitre: 180_000,
    temperatureBand: { lowCelsius: 5, highCelsius: 30 },
  },
] as const satisfies readonly Vessel[];

export type VesselName = (typeof vessels)[number]['vessel'];

export const fermentations = {
  'fermenter-1': { originalGravity: 1.0482, limitGravity: 1.0104, setPointCelsius: 19 },
  'fermenter-2': { originalGravity: 1.0515, limitGravity: 1.0121, setPointCelsius: 20 },
  'fermenter-3': { originalGravity: 1.0461, limitGravity: 1.0098, setPointCelsius: 12 },
} as const;

export const kegFill = {
  carbonationVolumes: 3.1,
  vessel: {
    drink: { alcoholByVolumePercent: 5.2, extractGramPerLitre: 46 },
    vesselVolumeLitre: 30,
    headspaceLitre: 1.2,
    filledAtCelsius: 4,
  },
} as const;

export const bright = { gaugePressurePascal: 85_000, setPointCelsius: 2 } as const;

/** Days after the start at which the steep is set; its vessel stands empty until then. */
export const steepAtDay = 10;

/** A slow steep of five days in the cold, within the seven that the FDA Food Code allows at 5 °C or less. */
const steepSeconds = 5 * 86_400;

const cellarkeeper = 'Tobin Askew';

const day = 86_400;
const open = {
  endedAt: null,
  originalGravity: null,
  expectedTerminalGravity: null,
  attenuationLimit: null,
  temperatureBand: null,
  carbonationVolumes: null,
} as const;

export type PlacedBatch = Batch & { readonly vessel: VesselName };

/** The batches, for a story that starts at `startAt` (Unix seconds). */
export const batches = (startAt: number): readonly PlacedBatch[] => [
  {
    ...open,
    vessel: 'fermenter-1',
    batch: 'harbour-ale-41',
    title: 'Harbour Ale, gyle 41',
    drink: 'ale',
    stage: 'fermentation',
    startedAt: startAt,
    originalGravity: fermentations['fermenter-1'].originalGravity,
    expectedTerminalGravity: 1.011,
    temperatureBand: { lowCelsius: 17, highCelsius: 21.5 },
  },
  {
    ...open,
    vessel: 'fermenter-2',
    batch: 'lantern-wheat-18',
    title: 'Lantern Wheat, gyle 18',
    drink: 'ale',
    stage: 'fermentation',
    startedAt: startAt,
    originalGravity: fermentations['fermenter-2'].originalGravity,
    expectedTerminalGravity: 1.012,
    temperatureBand: { lowCelsius: 18, highCelsius: 22.5 },
  },
  {
    ...open,
    vessel: 'fermenter-3',
    batch: 'slipway-lager-9',
    title: 'Slipway Lager, gyle 9',
    drink: 'lager',
    stage: 'fermentation',
    startedAt: startAt,
    originalGravity: fermentations['fermenter-3'].originalGravity,
    expectedTerminalGravity: 1.01,
    temperatureBand: { lowCelsius: 9.5, highCelsius: 14 },
  },
  {
    ...open,
    vessel: 'bright-tank',
    batch: 'harbour-ale-40',
    title: 'Harbour Ale, gyle 40',
    drink: 'ale',
    stage: 'conditioning',
    startedAt: startAt - 2 * day,
    temperatureBand: { lowCelsius: 0, highCelsius: 4 },
    carbonationVolumes: 2.6,
  },
  {
    ...open,
    vessel: 'keg-7',
    batch: 'lantern-wheat-17',
    title: 'Lantern Wheat, gyle 17',
    drink: 'ale',
    stage: 'keg',
    startedAt: startAt - 3 * day,
    carbonationVolumes: kegFill.carbonationVolumes,
  },
  {
    ...open,
    vessel: 'barrel-3',
    batch: 'elderberry-oak-2',
    title: 'Fortified elderberry in oak',
    drink: 'wine',
    stage: 'ageing',
    startedAt: startAt - 200 * day,
    temperatureBand: { lowCelsius: 10, highCelsius: 16 },
    deeds: [
      { deed: 'tested', at: startAt - 20 * day, by: cellarkeeper, note: 'Free 32 mg/L at pH 3.5.' },
      { deed: 'topped', at: startAt - 12 * day, by: cellarkeeper, note: 'Took 1.4 L.' },
    ],
  },
  {
    ...open,
    vessel: 'steeping-tank',
    batch: 'rooibos-verbena-5',
    title: 'Rooibos and lemon verbena, cold',
    drink: 'infusion',
    stage: 'cold-steep',
    startedAt: startAt + steepAtDay * day,
    temperatureBand: { lowCelsius: 1, highCelsius: 5 },
    limits: { 'cold-steep': { steepSeconds } },
  },
];
