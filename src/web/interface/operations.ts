/**
 * Every operation of the JSON interface, in an order in which the examples can be run one after another. A route
 * that is missing here fails `tests/web/interface-document.test.ts`.
 */
import type { Operation } from './operation.ts';
import { alarmOperations } from './operations/alarm-operations.ts';
import { batchOperations } from './operations/batch-operations.ts';
import { calculationOperations } from './operations/calculation-operations.ts';
import { keeperOperations } from './operations/keeper-operations.ts';
import { readingOperations } from './operations/reading-operations.ts';
import { receiverOperations } from './operations/receiver-operations.ts';
import { recordOperations } from './operations/record-operations.ts';
import { serverOperations } from './operations/server-operations.ts';
import { vesselOperations } from './operations/vessel-operations.ts';

const all: readonly Operation[] = [
  ...serverOperations,
  ...vesselOperations,
  ...batchOperations,
  ...readingOperations,
  ...recordOperations,
  ...alarmOperations,
  ...keeperOperations,
  ...receiverOperations,
  ...calculationOperations,
];

export const operations = all;
