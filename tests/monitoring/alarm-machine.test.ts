/** The alarm table, cell by cell, against the diagram of ISA-18.2 / IEC 62682 as written down in alarm-diagram.ts. */
import { describe, expect, it, test } from 'vitest';
import { alarmStates } from '../../src/monitoring/alarms/alarm.ts';
import {
  type AlarmCell,
  alarmEvents,
  alarmTable,
  conditions,
  nextAlarmState,
} from '../../src/monitoring/alarms/alarm-machine.ts';
import { asks, isSetAside, isShown } from '../../src/monitoring/alarms/alarm-standing.ts';
import { diagramEdge, diagramSize } from './alarm-diagram.ts';

const cells = alarmStates.flatMap((state) => alarmEvents.map((event) => [state, event] as const));

describe('alarm table', () => {
  it('has 9 states and 12 events, as the diagram has', () => {
    expect(cells).toHaveLength(108);
    expect(diagramSize).toBe(108 * conditions.length);
  });

  test.each(cells)('%s: %s', (state, event) => {
    for (const condition of conditions)
      expect({ condition, step: nextAlarmState(state, event, condition) }).toEqual({
        condition,
        step: diagramEdge(state, event, condition),
      });
  });

  it('can do 47 of the 108 things', () => {
    const possible = cells.filter(([state, event]) => alarmTable[state][event] !== undefined);
    expect(possible).toHaveLength(47);
  });

  it('leads to every state, and from every state back to normal', () => {
    const steps = (cell: AlarmCell) => ('state' in cell ? [cell] : Object.values(cell));
    const from = (state: (typeof alarmStates)[number]) =>
      Object.values(alarmTable[state]).flatMap((cell) => steps(cell).map((step) => step.state));
    for (const start of alarmStates) {
      const reached = new Set([start]);
      for (const state of reached) for (const next of from(state)) reached.add(next);
      expect([...reached].toSorted()).toEqual([...alarmStates].toSorted());
    }
  });

  it('parts the states into normal, standing before people, and set aside', () => {
    for (const state of alarmStates) {
      const parts = [state === 'normal', isShown(state), isSetAside(state)];
      expect(parts.filter(Boolean)).toHaveLength(1);
      if (asks(state)) expect(isShown(state)).toBe(true);
    }
    expect(alarmStates.filter(asks)).toHaveLength(4);
  });
});
