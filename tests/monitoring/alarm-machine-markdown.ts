/** The alarm machine's table as DEVELOPERS.md prints it, between its two marks: made from the table that runs. */
import { type AlarmState, alarmStates } from '../../src/monitoring/alarms/alarm.ts';
import {
  type AlarmCell,
  type AlarmEvent,
  type AlarmStep,
  alarmEvents,
  alarmTable,
} from '../../src/monitoring/alarms/alarm-machine.ts';
import { alarmStateWords } from '../../src/monitoring/alarms/alarm-words.ts';

export const alarmMachineBegins =
  '<!-- alarm machine: begins (npm run alarm-machine writes it) -->';
export const alarmMachineEnds = '<!-- alarm machine: ends -->';

/** What brings each event about. */
const eventWords = {
  'condition-begins': 'the condition holds, its on-delay included',
  'condition-ends': 'the condition is over, its off-delay included',
  worsen: 'its priority rises while the condition holds',
  're-alarm': 'the time is over after which an acknowledged alarm asks again',
  acknowledge: 'a person has seen it',
  reset: 'a person has looked, and finds that all is well',
  shelve: 'a person sets it aside for a time, or for another time',
  unshelve: 'a person takes it off the shelf, or its time is over',
  suppress: 'it does not apply at this stage',
  unsuppress: 'it applies again',
  'remove-from-service': 'a person takes it out of service, with a reason',
  'return-to-service': 'a person puts it back',
} as const satisfies Record<AlarmEvent, string>;

const conditionWords = {
  holds: 'it holds',
  latched: 'it is over and latched',
  clear: 'it is over and not latched',
} as const;

const stepText = ({ state, transition }: AlarmStep): string =>
  transition === null ? `stays ${state}, in silence` : `**${state}**, told as *${transition}*`;

const cellText = (cell: AlarmCell): string => {
  if ('state' in cell) return stepText(cell);
  const steps = (['holds', 'latched', 'clear'] as const).flatMap((condition) => {
    const step = cell[condition];
    return step === undefined ? [] : `if ${conditionWords[condition]}: ${stepText(step)}`;
  });
  return steps.join('; ');
};

const rowsOf = (state: AlarmState): readonly string[] =>
  alarmEvents.flatMap((event) => {
    const cell = alarmTable[state][event];
    return cell === undefined ? [] : `| ${state} | ${event} | ${cellText(cell)} |`;
  });

export const alarmMachineMarkdown = (): string =>
  [
    '| state | as people read it |',
    '|---|---|',
    ...alarmStates.map((state) => `| ${state} | ${alarmStateWords[state]} |`),
    '',
    '| event | what brings it about |',
    '|---|---|',
    ...alarmEvents.map((event) => `| ${event} | ${eventWords[event]} |`),
    '',
    '| state | event | next |',
    '|---|---|---|',
    ...alarmStates.flatMap(rowsOf),
    '',
    'What is not listed is not possible and changes nothing.',
  ].join('\n');
