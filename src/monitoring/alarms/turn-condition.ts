/**
 * Turns the condition of an alarm, once its delay is over, and sends what follows through the machine: an onset raises
 * the alarm with the words of the finding that waited, an end returns or latches it. Pure: no I/O, no clock.
 */
import { type AlarmEntry, type Board, nothingWaits } from './alarm-entry.ts';
import { isChatter, withOnset } from './chattering.ts';
import { latches } from './latching.ts';
import { type BoardStep, byProcess, putEntry, takeEvent } from './take-event.ts';

/** `differsSince` says since when the readings had disagreed; null where a late one takes back what was told. */
export const turned = (board: Board, name: string, entry: AlarmEntry, now: number): BoardStep => {
  const { waiting: found, holds, alarm, differsSince: since } = entry;
  const after: AlarmEntry = {
    ...entry,
    ...nothingWaits,
    holds: !holds,
    turnsTold: entry.turnsTold + 1,
  };
  if (holds) {
    // An onset that a late reading takes back was none.
    const calm = since === null ? { ...after, onsets: entry.onsets.slice(0, -1) } : after;
    return conditionOver(board, name, calm, now, found && `Returned: ${found.words.evidence}`);
  }
  const onsets = since === null ? entry.onsets : withOnset(entry.onsets, since);
  const chattering = alarm.chattering || isChatter(onsets);
  const begun = { ...after, onsets, latched: latches(alarm.kind) };
  return (
    takeEvent(board, name, begun, 'condition-begins', byProcess(now, null), (before) => ({
      ...before,
      ...found?.words,
      source: found?.words.source ?? null,
      batch: found?.batch ?? before.batch,
      priority: found?.priority ?? before.priority,
      occurrence: before.occurrence + 1,
      raisedAt: now,
      returnedAt: null,
      acknowledgedAt: null,
      acknowledgedBy: null,
      note: null,
      chattering,
      latest: null,
    })) ?? putEntry(board, name, begun)
  );
};

/** The condition is over; `entry` says so already. */
export const conditionOver = (
  board: Board,
  name: string,
  entry: AlarmEntry,
  now: number,
  words: string | null,
): BoardStep => {
  // A chattering alarm that was held and returned at last chatters no more.
  const calm = entry.alarm.chattering ? { ...entry, onsets: [] } : entry;
  return (
    takeEvent(board, name, calm, 'condition-ends', byProcess(now, null), (alarm) => ({
      ...alarm,
      evidence: words === null ? alarm.evidence : `${alarm.evidence} ${words}`,
      returnedAt: now,
      chattering: false,
    })) ?? putEntry(board, name, calm)
  );
};
