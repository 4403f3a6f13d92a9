/** Operations on vessels. Pure data. */

import { chartQuery } from '../../chart.ts';
import { vesselBody } from '../../contract.ts';
import { chart, vessel, vesselList, vesselView } from '../answers/vessel-answers.ts';
import { answers, keepers, type Operation, readers, sends } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

const body = bodyNamed('VesselBody', vesselBody);

const keg = {
  vessel: 'keg-3',
  title: 'Third keg',
  kind: 'keg',
  volumeLitre: 50,
  headspaceLitre: 2,
  ratedGaugePressurePascal: 300_000,
  reliefGaugePressurePascal: 270_000,
};

const vessels = '/v1/cellars/{cellar}/vessels';

export const vesselOperations: readonly Operation[] = [
  {
    id: 'make-vessel',
    group: 'Vessels',
    method: 'post',
    path: vessels,
    title: 'Make a vessel',
    words: 'Volumes in litres, pressures in pascal above the surrounding air, from the nameplate.',
    who: keepers,
    bodies: sends(body, keg),
    answer: answers(201, 'The vessel as it was described.', vessel),
    refusals: [409],
  },
  {
    id: 'list-vessels',
    group: 'Vessels',
    method: 'get',
    path: vessels,
    title: 'All vessels',
    who: readers,
    answer: answers(200, 'Every vessel of the cellar, by short name.', vesselList),
  },
  {
    id: 'replace-vessel',
    group: 'Vessels',
    method: 'put',
    path: `${vessels}/{vessel}`,
    title: 'Describe a vessel anew',
    who: keepers,
    bodies: sends(body, { ...keg, title: 'Third keg, by the door' }),
    answer: answers(200, 'The vessel as it is described from here on.', vessel),
    refusals: [404],
  },
  {
    id: 'view-vessel',
    group: 'Vessels',
    method: 'get',
    path: `${vessels}/{vessel}`,
    title: 'How a vessel is',
    words: 'Its batch, what is known of it, its alarms, and what was last told of it.',
    who: readers,
    answer: answers(200, 'The vessel at this moment.', vesselView),
    refusals: [404],
  },
  {
    id: 'chart-vessel',
    group: 'Vessels',
    method: 'get',
    path: `${vessels}/{vessel}/chart`,
    title: 'The readings of a vessel, reduced for drawing',
    words:
      'Lowest and highest reading of each step of time, with the fitted gravity and its forecast.',
    who: readers,
    query: chartQuery,
    answer: answers(200, 'Times in Unix seconds, values in the unit of each channel.', chart),
    refusals: [404, 422],
  },
];
