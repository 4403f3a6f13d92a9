/**
 * The alarm state machine against the edges of the ISA-18.2 / IEC 62682 state diagram. Seen in a public copy of
 * the diagram: normal, unacknowledged, acknowledged, returned and the three hidden states with their entries.
 * From memory: acknowledge in returned-unacknowledged gives normal, and a new onset there raises again.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AlarmState, AlarmTransition } from '../../src/monitoring/alarm.ts';
import { type Board, lapse, send, settle } from '../../src/monitoring/alarm-board.ts';
import {
  type AlarmEvent,
  alarmEvents,
  nextAlarmState,
} from '../../src/monitoring/alarm-machine.ts';
import type { Finding } from '../../src/monitoring/finding.ts';

const states = [
  'normal',
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'shelved',
  'suppressed',
  'out-of-service',
] as const satisfies readonly AlarmState[];

/** from, event, whether the condition holds afterwards, to, name of the transition (null: nothing is told). */
type Edge = readonly [
  AlarmState,
  AlarmEvent,
  boolean | 'either',
  AlarmState,
  AlarmTransition | null,
];

const edges: readonly Edge[] = [
  ['normal', 'condition-begins', 'either', 'unacknowledged', 'raised'],
  ['normal', 'shelve', 'either', 'shelved', 'shelved'],
  ['normal', 'suppress', 'either', 'suppressed', 'suppressed'],
  ['normal', 'remove-from-service', 'either', 'out-of-service', 'removed-from-service'],
  ['unacknowledged', 'acknowledge', 'either', 'acknowledged', 'acknowledged'],
  ['unacknowledged', 'condition-ends', 'either', 'returned-unacknowledged', 'returned'],
  ['unacknowledged', 'shelve', 'either', 'shelved', 'shelved'],
  ['unacknowledged', 'suppress', 'either', 'suppressed', 'suppressed'],
  ['unacknowledged', 'remove-from-service', 'either', 'out-of-service', 'removed-from-service'],
  ['acknowledged', 'condition-ends', 'either', 'normal', 'returned'],
  ['acknowledged', 'shelve', 'either', 'shelved', 'shelved'],
  ['acknowledged', 'suppress', 'either', 'suppressed', 'suppressed'],
  ['acknowledged', 'remove-from-service', 'either', 'out-of-service', 'removed-from-service'],
  ['returned-unacknowledged', 'acknowledge', 'either', 'normal', 'acknowledged'],
  ['returned-unacknowledged', 'condition-begins', 'either', 'unacknowledged', 'raised'],
  ['returned-unacknowledged', 'shelve', 'either', 'shelved', 'shelved'],
  ['returned-unacknowledged', 'suppress', 'either', 'suppressed', 'suppressed'],
  [
    'returned-unacknowledged',
    'remove-from-service',
    'either',
    'out-of-service',
    'removed-from-service',
  ],
  ['shelved', 'condition-begins', 'either', 'shelved', null],
  ['shelved', 'condition-ends', 'either', 'shelved', null],
  ['shelved', 'unshelve', false, 'normal', 'unshelved'],
  ['shelved', 'unshelve', true, 'unacknowledged', 'unshelved'],
  ['shelved', 'shelve', 'either', 'shelved', 'shelved'],
  ['shelved', 'suppress', 'either', 'suppressed', 'suppressed'],
  ['shelved', 'remove-from-service', 'either', 'out-of-service', 'removed-from-service'],
  ['suppressed', 'condition-begins', 'either', 'suppressed', null],
  ['suppressed', 'condition-ends', 'either', 'suppressed', null],
  ['suppressed', 'unsuppress', false, 'normal', 'unsuppressed'],
  ['suppressed', 'unsuppress', true, 'unacknowledged', 'unsuppressed'],
  ['suppressed', 'remove-from-service', 'either', 'out-of-service', 'removed-from-service'],
  ['out-of-service', 'condition-begins', 'either', 'out-of-service', null],
  ['out-of-service', 'condition-ends', 'either', 'out-of-service', null],
  ['out-of-service', 'return-to-service', false, 'normal', 'returned-to-service'],
  ['out-of-service', 'return-to-service', true, 'unacknowledged', 'returned-to-service'],
];

describe('alarm machine', () => {
  it('takes every edge of the diagram and no other', () => {
    let taken = 0;
    for (const from of states) {
      for (const event of alarmEvents) {
        for (const holds of [false, true]) {
          const edge = edges.find(
            ([state, name, when]) =>
              state === from && name === event && (when === 'either' || when === holds),
          );
          const step = nextAlarmState(from, event, holds);
          if (edge === undefined) {
            expect(step, `${from} ${event} ${holds}`).toBeNull();
          } else {
            expect(step, `${from} ${event} ${holds}`).toEqual({
              state: edge[3],
              transition: edge[4],
            });
            taken += 1;
          }
        }
      }
    }
    // 28 edges whatever the condition does, and 6 that ask for it.
    expect(taken).toBe(62);
  });
});

/** The board against a naive model: one boolean, one state, one timer, written the plain way. */
describe('alarm board', () => {
  const onDelay = 600;
  const offDelay = 300;
  const finding = (condition: Finding['condition'], at: number): Finding => ({
    kind: 'temperature',
    channel: 'temperature',
    condition,
    at,
    priority: 'medium',
    onDelaySeconds: onDelay,
    offDelaySeconds: offDelay,
    words: () => ({
      evidence: `${condition} at ${at}`,
      likelyCauses: [],
      checkFirst: [],
      caution: null,
    }),
  });
  const name = 'temperature:temperature';

  type Step =
    | { readonly kind: 'find'; readonly condition: Finding['condition'] }
    | { readonly kind: 'wait'; readonly seconds: number }
    | { readonly kind: 'event'; readonly event: AlarmEvent };

  const steps: fc.Arbitrary<Step> = fc.oneof(
    fc.record({
      kind: fc.constant('find' as const),
      condition: fc.constantFrom('holds' as const, 'clear' as const, 'between' as const),
    }),
    fc.record({ kind: fc.constant('wait' as const), seconds: fc.integer({ min: 1, max: 900 }) }),
    fc.record({
      kind: fc.constant('event' as const),
      event: fc.constantFrom(
        ...alarmEvents.filter(
          (event) => event !== 'condition-begins' && event !== 'condition-ends',
        ),
      ),
    }),
  );

  it('follows the naive model through any sequence', () => {
    let compared = 0;
    fc.assert(
      fc.property(fc.array(steps, { minLength: 1, maxLength: 60, size: 'max' }), (sequence) => {
        let board: Board = {};
        let now = 1_000_000;
        let state: AlarmState = 'normal';
        let holds = false;
        let pending: number | null = null;
        let known = false;
        let occurrences = 0;
        let raised = 0;
        const turn = (): void => {
          pending = null;
          holds = !holds;
          const edge = edges.find(
            ([from, event]) =>
              from === state && event === (holds ? 'condition-begins' : 'condition-ends'),
          );
          if (edge === undefined) return;
          if (holds) {
            occurrences += 1;
          }
          state = edge[3];
        };
        const elapse = (): void => {
          if (pending !== null && now >= pending + (holds ? offDelay : onDelay)) turn();
        };
        for (const step of sequence) {
          if (step.kind === 'wait') {
            now += step.seconds;
            const lapsed = lapse(board, now);
            board = lapsed.board;
            raised += lapsed.changes.filter(({ transition }) => transition === 'raised').length;
            elapse();
          } else if (step.kind === 'find') {
            const settled = settle(board, finding(step.condition, now), null, now);
            board = settled.board;
            raised += settled.changes.filter(({ transition }) => transition === 'raised').length;
            const disagrees = holds ? step.condition === 'clear' : step.condition === 'holds';
            if (!disagrees) pending = null;
            else {
              known = true;
              pending ??= now;
              elapse();
            }
          } else {
            const before = board;
            const sent = send(board, name, step.event, { at: now, by: 'ana' }, (alarm) => alarm);
            const edge = edges.find(
              ([from, event, when]) =>
                from === state && event === step.event && (when === 'either' || when === holds),
            );
            expect(sent === null).toBe(!known || edge === undefined);
            board = sent?.board ?? before;
            if (known && edge !== undefined) state = edge[3];
          }
          if (known) {
            expect(board[name]?.alarm.state).toBe(state);
            expect(board[name]?.holds).toBe(holds);
            expect(board[name]?.alarm.occurrence).toBe(occurrences);
            compared += 1;
          }
        }
        expect(raised).toBeLessThanOrEqual(occurrences);
      }),
      { numRuns: 500 },
    );
    expect(compared).toBeGreaterThan(2000);
  });

  it('keeps the deadband: a condition between its limits changes nothing', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 5000 }), { minLength: 1 }), (waits) => {
        let now = 0;
        let board = settle({}, finding('holds', now), null, now).board;
        now += onDelay;
        board = lapse(board, now).board;
        expect(board[name]?.alarm.state).toBe('unacknowledged');
        for (const wait of waits) {
          now += wait;
          const step = settle(board, finding('between', now), null, now);
          expect(step.changes).toEqual([]);
          board = step.board;
        }
        expect(board[name]?.alarm.state).toBe('unacknowledged');
      }),
    );
  });

  it('raises once while the condition lasts, and counts each occurrence', () => {
    let board: Board = {};
    const seen: string[] = [];
    for (let now = 0; now < 20_000; now += 100) {
      const condition = now % 5000 < 2500 ? 'holds' : 'clear';
      const step = settle(board, finding(condition, now), 'gale-41', now);
      board = step.board;
      for (const { transition, alarm } of step.changes)
        seen.push(`${transition} ${alarm.occurrence}`);
    }
    expect(seen).toEqual([
      'raised 1',
      'returned 1',
      'raised 2',
      'returned 2',
      'raised 3',
      'returned 3',
      'raised 4',
      'returned 4',
    ]);
  });
});
