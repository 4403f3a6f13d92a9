/** A batch and the stage it is in. Pure data: no I/O, no clock. */
import type { HandSample } from './hand-sample.ts';
import type { Deed } from './stages/deed.ts';
import type { OwnLimits } from './stages/limits.ts';
import type { TemperatureBand, VesselKind } from './vessel.ts';

export const stages = [
  'mash-rest',
  'boil',
  'cooling',
  'fermentation',
  'conditioning',
  'cold-steep',
  'ageing',
  'blending',
  'keg',
  'workroom',
] as const;

export type Stage = (typeof stages)[number];

export const drinks = ['ale', 'lager', 'wine', 'mead', 'cider', 'infusion', 'blend'] as const;

export type Drink = (typeof drinks)[number];

export type Batch = {
  /** Short name in addresses: lower-case letters, digits and hyphens. */
  readonly batch: string;
  readonly title: string;
  readonly drink: Drink;
  readonly stage: Stage;
  /** Unix seconds: when the batch entered the vessel (pitched, filled, drawn). */
  readonly startedAt: number;
  /** Unix seconds; null while the batch is in the vessel. */
  readonly endedAt: number | null;
  /** Specific gravity 20/20 before fermentation. */
  readonly originalGravity: number | null;
  /** The brewer's estimate or a forced-ferment test. */
  readonly expectedTerminalGravity: number | null;
  /** Apparent attenuation limit as a fraction, 0 to 1. */
  readonly attenuationLimit: number | null;
  /** The yeast's band, or the band in which the drink should be kept. */
  readonly temperatureBand: TemperatureBand | null;
  /** Litres of CO2 at 0 °C and 1 atm per litre of drink, as filled. */
  readonly carbonationVolumes: number | null;
  /** Samples taken by hand, oldest first; absent where none was. */
  readonly samples?: readonly HandSample[];
  /** Unix seconds: when the present stage began; absent in the first, which began with the batch. */
  readonly stageStartedAt?: number;
  /** Limits that this batch sets of its own, by stage. */
  readonly limits?: OwnLimits;
  /** What people did to it and wrote down, oldest first. */
  readonly deeds?: readonly Deed[];
  /** Fermentable extract left in the drink, g/L; null or absent where it is not known. */
  readonly fermentableGramPerLitre?: number | null;
};

/** The stage a batch begins in, by the vessel it is put into. */
export const firstStage = {
  'mash-tun': 'mash-rest',
  kettle: 'boil',
  fermenter: 'fermentation',
  'steeping-tank': 'cold-steep',
  barrel: 'ageing',
  'blending-tank': 'blending',
  'bright-tank': 'conditioning',
  keg: 'keg',
  room: 'workroom',
} as const satisfies Record<VesselKind, Stage>;
