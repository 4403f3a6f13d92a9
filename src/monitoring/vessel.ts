/** A vessel as the cellar describes it. Pure data: no I/O, no clock. */

export const vesselKinds = [
  'mash-tun',
  'kettle',
  'fermenter',
  'steeping-tank',
  'barrel',
  'blending-tank',
  'bright-tank',
  'keg',
  'room',
] as const;

export type VesselKind = (typeof vesselKinds)[number];

export type TemperatureBand = { readonly lowCelsius: number; readonly highCelsius: number };

export type Vessel = {
  /** Short name in addresses and reading names: lower-case letters, digits and hyphens. */
  readonly vessel: string;
  /** What people call it. */
  readonly title: string;
  readonly kind: VesselKind;
  /** Whole inner volume, liquid and headspace together. */
  readonly volumeLitre: number;
  /** Gas space above the liquid as filled. */
  readonly headspaceLitre: number;
  /** From the nameplate; null where none is known. */
  readonly ratedGaugePressurePascal: number | null;
  /** Setting of the relief or spunding valve; null where there is none. */
  readonly reliefGaugePressurePascal: number | null;
  /** True while a regulated gas supply holds the head pressure. */
  readonly gasConnected: boolean;
  /** Band for what the vessel holds when its batch names none. */
  readonly temperatureBand: TemperatureBand | null;
};
