/** `npm run alarm-machine`: writes the table of the alarm machine into DEVELOPERS.md. */
import { readFileSync, writeFileSync } from 'node:fs';
import {
  alarmMachineBegins,
  alarmMachineEnds,
  alarmMachineMarkdown,
} from './alarm-machine-markdown.ts';

const path = new URL('../../DEVELOPERS.md', import.meta.url);
const text = readFileSync(path, 'utf8');
const from = text.indexOf(alarmMachineBegins);
const to = text.indexOf(alarmMachineEnds);
if (from < 0 || to < from) throw new Error('DEVELOPERS.md has lost the marks of its alarm machine');
writeFileSync(
  path,
  `${text.slice(0, from + alarmMachineBegins.length)}\n\n${alarmMachineMarkdown()}\n\n${text.slice(to)}`,
);
