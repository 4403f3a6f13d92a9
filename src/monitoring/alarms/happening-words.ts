/** The words for what happens and asks nothing of anybody. Pure data. */
import type { Happening } from '../watched.ts';

export const happeningTitles = {
  'fermentation-finished': 'Fermentation finished',
  'fermentation-restarted': 'Fermentation restarted',
  'sensor-moved': 'Gravity sensor was moved',
  'ready-to-pitch': 'Cool enough to pitch',
  'age-reached': 'Least age reached',
  'drawn-early': 'Drawn before its least age',
  'carbonation-reached': 'Carbonation reached',
} as const satisfies Record<Happening['kind'], string>;
