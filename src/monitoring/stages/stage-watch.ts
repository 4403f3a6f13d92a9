/**
 * The watch over a batch's stage: what its clocks have run out to, what is out of its limits at present and what has
 * happened, by the rules of the stage, each of which stands in a file of its own.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Finding } from '../finding.ts';
import type { WatchState } from '../watch-state.ts';
import type { Happening, Watched } from '../watched.ts';
import { ageingClocks, ageReached, overdueCare } from './ageing.ts';
import { boilClocks, boilOver, notBoiling } from './boil.ts';
import { carbonated } from './carbonation-target.ts';
import {
  aheadAt,
  foodSafety,
  isFoodRuled,
  lowAcid,
  safetyStands,
  steepClocks,
  steepFold,
  steepOver,
} from './cold-steep.ts';
import { standing } from './course.ts';
import { exposureFold } from './exposure.ts';
import { atRest, movement } from './gravity-at-rest.ts';
import { restClock, restOver } from './mash-rest.ts';
import {
  coolingClock,
  pitchCelsius,
  readyToPitch,
  slowCooling,
  tooWarmToPitch,
} from './pitching.ts';
import { potentialOf, refermentationPotential } from './refermentation-potential.ts';
import { judgeChatter } from './relief-chatter.ts';
import { entered, inBandFold, viewOf } from './stage-hear.ts';
import type { StageMemory } from './stage-memory.ts';
import type { ClockName, StageClock, StageView } from './stage-view.ts';
import type { TimeInBand } from './time-in-band.ts';
import { ventedLevel } from './vent.ts';
import { breathedAir, breathedDue } from './workroom.ts';

export type StageStep = {
  readonly memory: StageMemory;
  readonly findings: readonly Finding[];
  readonly happenings: readonly Happening[];
};

/** `state` has taken in what was read. */
export const stageStep = (watched: Watched, state: WatchState, now: number): StageStep => {
  const memory = state.stages;
  const air = standing(memory.air, exposureFold);
  const view = viewOf(watched, state, memory, now);
  const step = view === null ? { memory, findings: [], happenings: [] } : staged(view, memory);
  return {
    ...step,
    memory: { ...step.memory, judgedAt: Math.max(memory.judgedAt, now) },
    findings: [...(air === null ? [] : breathedAir(watched, air, now)), ...step.findings],
  };
};

/** Moments at which a clock of the stage runs out if nothing more is heard, those already judged left out. */
export const stageDue = (watched: Watched, state: WatchState, now: number): readonly number[] => {
  const memory = entered(watched, state, now);
  const due: number[] = [];
  const air = standing(memory.air, exposureFold);
  if (air !== null) due.push(...breathedDue(watched, air, memory.judgedAt));
  const view = viewOf(watched, state, memory, memory.judgedAt);
  if (view !== null) {
    for (const { dueAt } of clocksOf(view, memory)) if (dueAt !== null) due.push(dueAt);
    if (view.stage === 'cold-steep' && isFoodRuled(watched)) {
      due.push(aheadAt(view, safetyStands(view, steepOf(view, memory))));
    }
  }
  return due.filter((at) => at > memory.judgedAt);
};

/** The clocks of the present stage, for a page. */
export const stageClocks = (
  watched: Watched,
  state: WatchState,
  now: number,
): readonly StageClock[] => {
  const memory = entered(watched, state, now);
  const view = viewOf(watched, state, memory, now);
  return view === null ? [] : clocksOf(view, memory);
};

const clocksOf = (view: StageView, memory: StageMemory): readonly StageClock[] => {
  const known = (clock: StageClock | null): readonly StageClock[] =>
    clock === null ? [] : [clock];
  switch (view.stage) {
    case 'mash-rest':
      return known(restClock(view, inBandOf(view, memory)));
    case 'boil':
      return boilClocks(view, inBandOf(view, memory), memory.over.includes('boil'));
    case 'cooling':
      return known(coolingClock(view, memory.cool));
    case 'cold-steep':
      return steepClocks(view, safetyStands(view, steepOf(view, memory)));
    case 'ageing':
      return ageingClocks(view);
    default:
      return [];
  }
};

const inBandOf = (view: StageView, memory: StageMemory): TimeInBand | null => {
  const fold = inBandFold(view.watched, memory);
  return fold === null ? null : standing(memory.inBand, fold);
};

const steepOf = (view: StageView, memory: StageMemory) =>
  standing(memory.steep, steepFold(view.since));

/** Clocks that stay run out once they have: what is done is not undone by a late reading. */
const lasting: ReadonlySet<ClockName> = new Set(['rest', 'boil', 'steep', 'food-safety', 'age']);

const staged = (view: StageView, before: StageMemory): StageStep => {
  const clocks = clocksOf(view, before);
  const ranOut = clocks
    .filter(
      ({ clock, dueAt }) =>
        lasting.has(clock) && !before.over.includes(clock) && dueAt !== null && view.now >= dueAt,
    )
    .map(({ clock }) => clock);
  const memory = ranOut.length === 0 ? before : { ...before, over: [...before.over, ...ranOut] };
  const step = byStage(view, memory, clocks, ranOut);
  return view.stage === 'conditioning' || view.stage === 'blending' || view.stage === 'keg'
    ? closed(view, step)
    : step;
};

const byStage = (
  view: StageView,
  memory: StageMemory,
  clocks: readonly StageClock[],
  ranOut: readonly ClockName[],
): StageStep => {
  const clockNamed = (name: ClockName): StageClock | null =>
    clocks.find(({ clock }) => clock === name) ?? null;
  const isOver = (name: ClockName): boolean => memory.over.includes(name);
  const said = (
    findings: readonly (Finding | null)[],
    after: StageMemory = memory,
    happenings: readonly (Happening | null)[] = [],
  ): StageStep => ({
    memory: after,
    findings: findings.filter((finding) => finding !== null),
    happenings: happenings.filter((happening) => happening !== null),
  });

  switch (view.stage) {
    case 'mash-rest': {
      const clock = clockNamed('rest');
      const course = inBandOf(view, memory);
      return said([clock && restOver(view, clock, course, isOver('rest'))]);
    }
    case 'boil': {
      const clock = clockNamed('boil');
      const course = inBandOf(view, memory);
      return said([
        clock && boilOver(view, clock, course, isOver('boil')),
        // When the boil has had its time the heat is turned off.
        course && notBoiling(view, course, isOver('boil') ? null : clockNamed('heat-up')),
      ]);
    }
    case 'cooling': {
      const limit = pitchCelsius(view);
      if (limit === null) return said([]);
      const slow = slowCooling(view, clockNamed('cooling'), memory.cool);
      const temperature = view.newest('temperature');
      if (!memory.cool || isOver('cooling') || temperature === null) return said([slow]);
      const told = { ...memory, over: [...memory.over, 'cooling' as const] };
      return said([slow], told, [readyToPitch(view, limit, temperature.value)]);
    }
    case 'fermentation':
      return said([tooWarmToPitch(view, memory.cool)], {
        ...memory,
        vented: ventedLevel(memory.vented, view),
      });
    case 'conditioning': {
      const rest = atRest(memory.rest, view);
      return said([movement(view, rest)], { ...memory, rest });
    }
    case 'cold-steep': {
      const clock = clockNamed('steep');
      const steep = clock && steepOver(view, clock, isOver('steep'));
      if (!isFoodRuled(view.watched)) return said([steep]);
      const stands = safetyStands(view, steepOf(view, memory));
      return said([steep, ...foodSafety(view, stands, isOver('food-safety')), lowAcid(view)]);
    }
    case 'ageing': {
      const age = clockNamed('age');
      return said(overdueCare(view, clocks), { ...memory, oldEnoughAt: age?.dueAt ?? null }, [
        age && ranOut.includes('age') ? ageReached(view, age) : null,
      ]);
    }
    case 'keg': {
      const step = carbonated(memory.carbonated, view);
      return said([], { ...memory, carbonated: step.memory }, [step.happening]);
    }
    case 'blending':
    case 'workroom':
      return said([]);
  }
};

/** What is judged wherever a finished drink is closed in. */
const closed = (view: StageView, step: StageStep): StageStep => {
  const potential = potentialOf(step.memory.potential, view);
  const { chatter } = step.memory;
  const chattering = chatter === null ? null : judgeChatter(view, chatter);
  return {
    ...step,
    memory: { ...step.memory, potential },
    findings: [
      ...step.findings,
      refermentationPotential(view, potential),
      ...(chattering === null ? [] : [chattering]),
    ],
  };
};
