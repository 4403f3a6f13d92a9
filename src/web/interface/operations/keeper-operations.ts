/** Operations of keepers on keys. Pure data. */
import { keyBody } from '../../contract.ts';
import { keyList, madeKey } from '../answers/cellar-answers.ts';
import { answers, keepers, nothing, type Operation, sends } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

const keys = '/v1/cellars/{cellar}/keys';

export const keeperOperations: readonly Operation[] = [
  {
    id: 'make-key',
    group: 'Cellar and keys',
    method: 'post',
    path: keys,
    title: 'Make a key',
    words: 'A sensor key names the vessels whose readings it may send; no other key does.',
    who: keepers,
    bodies: sends(bodyNamed('KeyBody', keyBody), {
      title: 'Probe of the third keg',
      role: 'sensor',
      vessels: ['keg-3'],
    }),
    answer: answers(201, 'The key, shown this once.', madeKey),
    refusals: [404],
  },
  {
    id: 'list-keys',
    group: 'Cellar and keys',
    method: 'get',
    path: keys,
    title: 'All keys',
    who: keepers,
    answer: answers(
      200,
      'Every key with its holder and role; the key itself is not kept.',
      keyList,
    ),
  },
  {
    id: 'revoke-key',
    group: 'Cellar and keys',
    method: 'delete',
    path: `${keys}/{key}`,
    title: 'Revoke a key',
    words: 'It opens nothing from a second later at the latest.',
    who: keepers,
    answer: nothing('It is revoked.'),
    refusals: [404, 409],
  },
];
