/**
 * Follows what the cellar says of a vessel: another batch clears what was remembered of the one before, but keeps
 * readings from after its start and the alarms with their history. Pure: no I/O, no clock.
 */
import { chronicleFrom } from './course/chronicle.ts';
import { beginWatch, type WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

export const followed = (watched: Watched, state: WatchState): WatchState => {
  const { batch } = watched;
  const stage = batch?.stage ?? null;
  if ((batch?.batch ?? null) === state.batch) {
    // Another stage may have another band.
    return stage === state.stage ? state : { ...state, stage, outOfBandSince: null };
  }
  const fresh = beginWatch(watched, 0);
  return batch === null
    ? { ...fresh, channels: state.channels, stages: state.stages, board: state.board }
    : {
        ...fresh,
        channels: unrhythmed(state.channels),
        chronicle: chronicleFrom(state.chronicle, batch.startedAt),
        // The watch over the stage sees by itself that the batch is another.
        stages: state.stages,
        board: state.board,
      };
};

/** A sensor that lay in a drawer between two batches is not silent: its rhythm is learnt anew. */
const unrhythmed = (channels: WatchState['channels']): WatchState['channels'] =>
  Object.fromEntries(
    Object.entries(channels).map(([channel, memory]) => [channel, { ...memory, arrivalGaps: [] }]),
  );
