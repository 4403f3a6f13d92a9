/**
 * A sample taken by hand. It is free of the sensor's offset and drift, so it outranks the sensor where both
 * exist, and tells the two apart. Pure data: no I/O, no clock.
 */
export type HandSample = {
  /** Unix seconds at which the sample was taken. */
  readonly time: number;
  /** Apparent specific gravity 20/20, corrected for the sample's temperature; null where none was read. */
  readonly gravity: number | null;
  /** What the hydrometer's scale showed, and how warm the sample was. */
  readonly readingGravity: number | null;
  readonly sampleTemperatureCelsius: number | null;
  readonly ph: number | null;
  readonly by: string;
  readonly note: string | null;
};

/**
 * Standard deviation of a gravity read by hand. Common practice, no source: half a division of a scale of one
 * point. Smaller lets one careless reading move the sensor.
 */
export const handGravitySd = 0.0005;

/** Samples that one batch keeps: four a day for a month. Chosen by us; the bound keeps a batch small. */
export const mostSamples = 120;
