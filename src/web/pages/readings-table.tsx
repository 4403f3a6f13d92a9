/** The latest reading of every channel a vessel has, with its age. Props in, HTML out. */
import type { Status } from '../../monitoring/status.ts';
import { channelNames } from '../../science/units/channel.ts';
import { channelWords, vesselWords } from '../messages.ts';
import { Age } from './moment.tsx';
import { channelText } from './quantity.ts';

export const ReadingsTable = ({
  status,
  now,
}: {
  readonly status: Status;
  readonly now: number;
}) => (
  <table class="readings">
    <thead>
      <tr>
        <th scope="col">{vesselWords.channel}</th>
        <th scope="col">{vesselWords.value}</th>
        <th scope="col">{vesselWords.age}</th>
      </tr>
    </thead>
    <tbody>
      {channelNames.flatMap((channel) => {
        const reading = status.latest[channel];
        return reading === undefined
          ? []
          : [
              <tr>
                <th scope="row">{channelWords[channel]}</th>
                <td>{channelText(channel, reading.value)}</td>
                <td>
                  <Age at={reading.time} now={now} />
                </td>
              </tr>,
            ];
      })}
    </tbody>
  </table>
);
