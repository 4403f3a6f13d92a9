/**
 * Tells of a gravity sensor that was moved: its readings leapt and stayed where they leapt to, which no drink does.
 * Nobody has to act, since readings after it are taken as shifted. Pure: no I/O, no clock.
 */
import type { Shift } from '../fermentation/gravity-course.ts';
import type { Happening } from '../watched.ts';
import { points } from '../words/spoken.ts';

export const movedSensor = ([, size]: Shift, now: number): Happening => ({
  kind: 'sensor-moved',
  at: now,
  words:
    `Gravity readings leapt ${size < 0 ? 'down' : 'up'} by ${points(Math.abs(size) / 1000)} and stayed there. ` +
    'The sensor was moved or touched, and readings since are taken as shifted by that; a sample by hand tells for sure.',
});
