/**
 * The clocks of a batch's stage and the limits in force, each with where it comes from. What runs is said first;
 * the limits stand behind their title, since they are looked up and not watched. Props in, HTML out.
 */

import type { LimitInForce } from '../../monitoring/stages/limits.ts';
import type { StageClock } from '../../monitoring/stages/stage-view.ts';
import type { Status } from '../../monitoring/status.ts';
import { duration, points } from '../../monitoring/words/spoken.ts';
import { clockWords, limitFormWords, limitWords, stageFactWords } from '../messages.ts';
import { Moment } from './moment.tsx';
import { barText, celsiusText, channelText, numberText, percentText } from './quantity.ts';

/** A limit in the unit in which people set it. */
const limitText = ({ value, unit }: LimitInForce): string => {
  if (value === null) return stageFactWords.notWatched;
  switch (unit) {
    case '°C':
      return celsiusText(value);
    case 's':
      return duration(value);
    case 'Pa':
      return barText(value);
    case 'SG':
      return points(value);
    case 'fraction':
      return percentText(value, 1);
    case 'ppm':
      return channelText('carbon-dioxide', value);
    case 'm':
    case 'pH':
    case 'volumes':
      return `${numberText(value, unit === 'm' ? 0 : 1)}\u00a0${unit}`;
  }
};

const clockText = ({ doneSeconds, ofSeconds }: StageClock): string =>
  stageFactWords.of(duration(doneSeconds), duration(ofSeconds));

const Clock = ({ clock, now }: { readonly clock: StageClock; readonly now: number }) => (
  <div>
    <dt>{clockWords[clock.clock]}</dt>
    <dd>
      {clockText(clock)}
      <span class="bounds">
        {clock.dueAt === null ? (
          stageFactWords.standsStill
        ) : (
          <>
            {`${clock.dueAt <= now ? stageFactWords.ranOut : stageFactWords.runsOut} `}
            <Moment at={clock.dueAt} />
          </>
        )}
      </span>
    </dd>
  </div>
);

export const StageFacts = ({
  status,
  now,
  change,
}: {
  readonly status: Status;
  readonly now: number;
  /** Where the limits are changed; null for who may not. */
  readonly change: string | null;
}) => (
  <div class="facts">
    {status.clocks.length === 0 ? null : (
      <dl>
        {status.clocks.map((clock) => (
          <Clock clock={clock} now={now} />
        ))}
      </dl>
    )}
    {status.limits.length === 0 ? null : (
      <details>
        <summary>{stageFactWords.limits}</summary>
        <dl>
          {status.limits.map((limit) => (
            <div>
              <dt>{limitWords[limit.limit]}</dt>
              <dd>
                {limitText(limit)}
                <span class="bounds">
                  {limit.from === 'default' ? limit.source : stageFactWords.from[limit.from]}
                </span>
              </dd>
            </div>
          ))}
        </dl>
        {change === null ? null : (
          <p>
            <a href={change}>{limitFormWords.change}</a>
          </p>
        )}
      </details>
    )}
  </div>
);
