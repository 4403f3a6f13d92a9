/** DEVELOPERS.md prints the alarm machine that runs. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import {
  alarmMachineBegins,
  alarmMachineEnds,
  alarmMachineMarkdown,
} from '../monitoring/alarm-machine-markdown.ts';

const developers = readFileSync(new URL('../../DEVELOPERS.md', import.meta.url), 'utf8');

test('the alarm machine is the one in the code', () => {
  expect(developers).toContain(
    `${alarmMachineBegins}\n\n${alarmMachineMarkdown()}\n\n${alarmMachineEnds}`,
  );
});
