/**
 * A chattering alarm: raised again and again in a short time. It is marked, and held until its condition has been
 * clear for longer than usual, so that it stands once instead of many times. Pure: no I/O, no clock.
 */

/**
 * Onsets within the span that make an alarm a chattering one. Three is what ISA-18.2 and IEC 62682 are quoted with,
 * from memory, for one minute of a process plant.
 */
const onsetsOfChatter = 3;

/**
 * Chosen by us: a plant is scanned every second, a cellar reports every minute to quarter of an hour and its alarms
 * carry delays of up to half an hour, so the same pattern takes hours here. Longer takes the swing of a day and a
 * night for chatter; shorter misses a thermostat that swings by the hour.
 */
const chatterSpanSeconds = 4 * 3600;

/**
 * Three onsets within the span leave at most half of it clear between two of them, so this is the shortest hold
 * that outlasts every pause of an alarm that chatters as fast as that.
 */
export const chatterHoldSeconds = chatterSpanSeconds / (onsetsOfChatter - 1);

/** The latest onsets, this one included, as many as the judgement needs. */
export const withOnset = (onsets: readonly number[], at: number): readonly number[] =>
  [...onsets, at].slice(-onsetsOfChatter);

export const isChatter = (onsets: readonly number[]): boolean => {
  const [first] = onsets;
  const last = onsets.at(-1);
  return (
    first !== undefined &&
    last !== undefined &&
    onsets.length >= onsetsOfChatter &&
    last - first <= chatterSpanSeconds
  );
};
