/**
 * The alarm state diagram written down a second time, cell by cell and without any of the source's building blocks,
 * as the truth that the table is held against. One line per state; columns in the order of `columns`.
 * A cell is `next state code` and what is told: `.` nothing can happen, `=` the state stays and nothing is told.
 * A cell in three parts tells the step where the condition holds, where it is over and latched, where it is clear.
 *
 * Seen in a public copy of the ISA-18.2 diagram: rows N, U, A, R without latching, and the ways into S, D and O.
 * Seen in OPC 10000-9, 5.8.5: X is reset only from K, never from L or while the condition holds.
 * From memory: R acknowledged gives N, R with a new onset gives U. Chosen by us: the ways out of S, D and O, and G.
 */
import type { AlarmState, AlarmTransition } from '../../src/monitoring/alarms/alarm.ts';
import type { AlarmEvent, Condition } from '../../src/monitoring/alarms/alarm-machine.ts';

const codes = {
  N: 'normal',
  U: 'unacknowledged',
  A: 'acknowledged',
  R: 'returned-unacknowledged',
  L: 'latched-unacknowledged',
  K: 'latched-acknowledged',
  S: 'shelved',
  D: 'suppressed',
  O: 'out-of-service',
} as const satisfies Record<string, AlarmState>;

const columns = [
  'condition-begins',
  'condition-ends',
  'worsen',
  're-alarm',
  'acknowledge',
  'reset',
  'shelve',
  'unshelve',
  'suppress',
  'unsuppress',
  'remove-from-service',
  'return-to-service',
] as const satisfies readonly AlarmEvent[];

const told = {
  raised: 'raised',
  returned: 'returned',
  latched: 'latched',
  worsened: 'worsened',
  again: 're-alarmed',
  ack: 'acknowledged',
  reset: 'reset',
  shelved: 'shelved',
  unshelved: 'unshelved',
  aside: 'suppressed',
  back: 'unsuppressed',
  out: 'removed-from-service',
  in: 'returned-to-service',
} as const satisfies Record<string, AlarmTransition>;

//  begins    ends                      worsen      re-alarm ack    reset    shelve     unshelve                              suppress  unsuppress                     remove  return
const lines = `
N   U-raised  .                         .           .        .      .        S-shelved  .                                     D-aside   .                              O-out   .
U   .         ./L-latched/R-returned    U-worsened  .        A-ack  .        S-shelved  .                                     D-aside   .                              O-out   .
A   .         ./K-latched/N-returned    U-worsened  U-again  .      .        S-shelved  .                                     D-aside   .                              O-out   .
R   U-raised  .                         .           .        N-ack  .        S-shelved  .                                     D-aside   .                              O-out   .
L   U-raised  .                         .           .        K-ack  .        S-shelved  .                                     D-aside   .                              O-out   .
K   U-raised  .                         .           .        .      N-reset  S-shelved  .                                     D-aside   .                              O-out   .
S   =         =                         =           .        .      .        S-shelved  U-unshelved/L-unshelved/N-unshelved   D-aside   .                              O-out   .
D   =         =                         =           .        .      .        .          .                                     .         U-back/L-back/N-back           O-out   .
O   =         =                         =           .        .      .        .          .                                     .         .                              .       U-in/L-in/N-in
`;

export type Edge = { readonly state: AlarmState; readonly transition: AlarmTransition | null };

const stateOf = (code: string | undefined): AlarmState => {
  const found = Object.entries(codes).find(([own]) => own === code)?.[1];
  if (found === undefined) throw new Error(`no state is coded ${code}`);
  return found;
};

const toldOf = (word: string | undefined): AlarmTransition => {
  const found = Object.entries(told).find(([own]) => own === word)?.[1];
  if (found === undefined) throw new Error(`nothing is told as ${word}`);
  return found;
};

const edgeOf = (from: AlarmState, part: string): Edge | null => {
  if (part === '.') return null;
  if (part === '=') return { state: from, transition: null };
  const [code, word] = part.split('-');
  return { state: stateOf(code), transition: toldOf(word) };
};

const conditionOrder = ['holds', 'latched', 'clear'] as const satisfies readonly Condition[];

const diagram = new Map<string, Edge | null>();
for (const line of lines.trim().split('\n')) {
  const [code, ...cells] = line.split(/\s+/);
  const from = stateOf(code);
  if (cells.length !== columns.length) throw new Error(`${from} has ${cells.length} cells`);
  for (const [index, event] of columns.entries()) {
    const parts = (cells[index] ?? '').split('/');
    for (const [place, condition] of conditionOrder.entries())
      diagram.set(
        `${from} ${event} ${condition}`,
        edgeOf(from, parts[parts.length === 1 ? 0 : place] ?? '.'),
      );
  }
}

/** What the diagram says; null where nothing can happen. */
export const diagramEdge = (
  from: AlarmState,
  event: AlarmEvent,
  condition: Condition,
): Edge | null => {
  const edge = diagram.get(`${from} ${event} ${condition}`);
  if (edge === undefined) throw new Error(`the diagram lacks ${from} ${event} ${condition}`);
  return edge;
};

export const diagramSize = diagram.size;
