/** What happened, newest first, as a table that a phone can scroll sideways. Props in, HTML out. */
import type { Alarm, AlarmChange } from '../../monitoring/alarm.ts';
import { asSentence } from '../../monitoring/sentence.ts';
import type { Happening } from '../../monitoring/watched.ts';
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

export type HistoryLine = {
  /** Shown where the table covers more than one vessel. */
  readonly vessel?: { readonly vessel: string; readonly title: string } | undefined;
} & HistoryEvent;

/** A change carries the alarm as it stood after it; its sign is drawn from that. */
const AlarmWhat = ({ line, alarm }: { readonly line: AlarmChange; readonly alarm: Alarm }) => (
  <>
    <AlarmSign alarm={alarm} />
    <span>
      {`${alarmWords[alarm.kind]} (${priorityNames[alarm.priority].toLowerCase()}): ${transitionWords[line.transition]}.`}
      {line.transition === 'raised' ? ` ${asSentence(alarm.evidence)}` : ''}
      {line.transition === 'acknowledged' && alarm.note !== null ? (
        <>
          {' '}
          <q>{alarm.note}</q>
        </>
      ) : null}
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
  const manyVessels = lines.some((line) => line.vessel !== undefined);
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
                <Moment at={line.kind === 'alarm' ? line.at : line.happening.at} />
              </td>
              {manyVessels ? (
                <td>
                  {line.vessel === undefined ? null : (
                    <a href={`${root}/vessels/${line.vessel.vessel}`}>{line.vessel.title}</a>
                  )}
                </td>
              ) : null}
              <td class="what">
                {line.kind === 'alarm' ? (
                  <AlarmWhat line={line} alarm={line.alarm} />
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
