/** What happened, newest first, as a table that a phone can scroll sideways. Props in, HTML out. */
import type { Alarm, AlarmChange } from '../../monitoring/alarms/alarm.ts';
import { alarmText } from '../../monitoring/alarms/alarm-text.ts';
import type { FloodChange } from '../../monitoring/alarms/flood.ts';
import { floodText } from '../../monitoring/alarms/flood-text.ts';
import type { Happening } from '../../monitoring/watched.ts';
import { asSentence } from '../../monitoring/words/sentence.ts';
import {
  alarmsWords,
  alarmWords,
  happeningWords,
  priorityNames,
  transitionWords,
  vesselWords,
} from '../messages.ts';
import { Moment } from './moment.tsx';
import { AlarmSign } from './sign.tsx';

/** An alarm that changed, or something that happened and asks nothing of anybody. */
export type HistoryEvent =
  | ({ readonly kind: 'alarm' } & AlarmChange)
  | { readonly kind: 'happening'; readonly happening: Happening };

export type HistoryLine =
  | ({
      /** Shown where the table covers more than one vessel. */
      readonly vessel?: { readonly vessel: string; readonly title: string } | undefined;
    } & HistoryEvent)
  | ({ readonly kind: 'flood' } & FloodChange);

/** What is said of an alarm when it calls: what is seen at that moment. */
const seenAt = ({ transition, alarm }: AlarmChange): string | null => {
  if (alarm.state !== 'unacknowledged') return null;
  const { evidence, latest } = alarmText(alarm);
  return transition === 'raised' ? evidence : (latest?.words ?? evidence);
};

const Noted = ({ by, text }: { readonly by: string | null; readonly text: string }) => (
  <> {by === null ? asSentence(text) : <q>{text}</q>}</>
);

const floodWords = (change: FloodChange): string => {
  const begins = change.transition === 'began' ? alarmsWords.floodBegan : alarmsWords.floodEnded;
  return `${begins}. ${floodText('', change).lines[0]?.words ?? ''}`;
};

/** A change carries the alarm as it stood after it; its sign is drawn from that. */
const AlarmWhat = ({ line, alarm }: { readonly line: AlarmChange; readonly alarm: Alarm }) => (
  <>
    <AlarmSign alarm={alarm} />
    <span>
      {`${alarmWords[alarm.kind]} (${priorityNames[alarm.priority].toLowerCase()}): ${transitionWords[line.transition]}.`}
      {seenAt(line) === null ? '' : ` ${seenAt(line)}`}
      {line.note === null ? null : <Noted by={line.by} text={line.note} />}
    </span>
  </>
);

export const HistoryTable = ({
  lines,
  root,
  caption,
}: {
  readonly lines: readonly HistoryLine[];
  readonly root: string;
  readonly caption: string;
}) => {
  const manyVessels = lines.some((line) => line.kind !== 'flood' && line.vessel !== undefined);
  return (
    <section class="scroller" aria-label={caption} tabindex={0}>
      <table class="history">
        <thead>
          <tr>
            <th scope="col">{vesselWords.when}</th>
            {manyVessels ? <th scope="col">{alarmsWords.vessel}</th> : null}
            <th scope="col">{vesselWords.what}</th>
            <th scope="col">{vesselWords.who}</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr>
              <td class="when">
                <Moment at={line.kind === 'happening' ? line.happening.at : line.at} />
              </td>
              {manyVessels ? (
                <td>
                  {line.kind === 'flood' ? (
                    alarmsWords.wholeCellar
                  ) : line.vessel === undefined ? null : (
                    <a href={`${root}/vessels/${line.vessel.vessel}`}>{line.vessel.title}</a>
                  )}
                </td>
              ) : null}
              <td class="what">
                {line.kind === 'alarm' ? (
                  <AlarmWhat line={line} alarm={line.alarm} />
                ) : line.kind === 'flood' ? (
                  <span>{floodWords(line)}</span>
                ) : (
                  <span>{`${happeningWords[line.happening.kind]}. ${asSentence(line.happening.words)}`}</span>
                )}
              </td>
              <td class="who">
                {line.kind === 'alarm' ? (line.by ?? vesselWords.process) : vesselWords.process}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
};
