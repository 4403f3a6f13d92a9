/**
 * Full-jitter exponential backoff: a uniform draw between zero and a ceiling that doubles.
 * Source: M. Brooker, "Exponential Backoff And Jitter", AWS Architecture Blog, 2015.
 */

/** First ceiling, chosen by us: a receiver that restarts is back within seconds. */
const firstCeilingSeconds = 5;
/** Last ceiling, chosen by us: an alarm must not wait longer than this for a receiver that is back. */
const lastCeilingSeconds = 15 * 60;

/** Seconds to wait after `tries` failed tries (1 or more); `random` is uniform in [0, 1). */
export const backoffSeconds = (tries: number, random: number): number =>
  random * Math.min(lastCeilingSeconds, firstCeilingSeconds * 2 ** Math.min(tries - 1, 20));
