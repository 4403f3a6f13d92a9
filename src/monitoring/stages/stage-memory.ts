/** What is remembered of a batch's stage, and of the air in a room, between two calls. Plain JSON of bounded size. */
import type { SteepCourse } from '../../science/steep-clock.ts';
import type { Channel } from '../../science/units/channel.ts';
import type { Stage } from '../batch.ts';
import type { Watched } from '../watched.ts';
import { type Carbonated, notCarbonated } from './carbonation-target.ts';
import { type Course, emptyCourse } from './course.ts';
import type { Exposure } from './exposure.ts';
import type { AtRest } from './gravity-at-rest.ts';
import { stageIn } from './limits.ts';
import type { Potential } from './refermentation-potential.ts';
import type { Chatter } from './relief-chatter.ts';
import type { ClockName } from './stage-view.ts';
import type { TimeInBand } from './time-in-band.ts';

export type StageMemory = {
  readonly batch: string | null;
  readonly stage: Stage | null;
  /** Unix seconds at which the stage began. */
  readonly since: number;
  /** Unix seconds up to which the clocks have been judged. */
  readonly judgedAt: number;
  /** Time of the newest reading taken, by channel, so that an older one does not speak for the present. */
  readonly newest: Readonly<Partial<Record<Channel, number>>>;
  /** Clocks that have run out in this stage: they stay so, whatever is heard later. */
  readonly over: readonly ClockName[];
  readonly inBand: Course<TimeInBand>;
  readonly steep: Course<SteepCourse>;
  /** Whether the batch has been cool enough to pitch in this stage. */
  readonly cool: boolean;
  /** Gauge pressure, Pa, at which the vessel was seen vented in this stage; null where it was not. */
  readonly vented: number | null;
  readonly chatter: Chatter | null;
  readonly rest: AtRest | null;
  readonly carbonated: Carbonated;
  readonly potential: Potential | null;
  /** Unix seconds at which the batch is old enough to be drawn; null where no age is asked for. */
  readonly oldEnoughAt: number | null;
  /** Carbon dioxide breathed in this place: it belongs to the room, whatever batch is in it. */
  readonly air: Course<Exposure>;
};

const noStage: StageMemory = {
  batch: null,
  stage: null,
  since: 0,
  judgedAt: Number.MIN_SAFE_INTEGER,
  newest: {},
  over: [],
  inBand: emptyCourse,
  steep: emptyCourse,
  cool: false,
  vented: null,
  chatter: null,
  rest: null,
  carbonated: notCarbonated,
  potential: null,
  oldEnoughAt: null,
  air: emptyCourse,
};

/** The stage that the batch is in, of which nothing is known yet. */
export const beginStage = (watched: Watched): StageMemory => ({
  ...noStage,
  batch: watched.batch?.batch ?? null,
  stage: stageIn(watched),
  since: watched.batch === null ? 0 : (watched.batch.stageStartedAt ?? watched.batch.startedAt),
});
