/** What is answered of the cellar itself: its keys, what was stored, and refusals. Pure data. */
import * as z from 'zod';
import { channelNames } from '../../../science/units/channel.ts';
import { type KeyListing, roles } from '../../../storage/access.ts';
import type { Health } from '../../../storage/health-probe.ts';
import type { ReceivedCounts } from '../../../storage/vessel-object.ts';
import type { MadeKey } from '../../make-key.ts';
import type { HistoryReport } from '../../take-history.ts';
import { answerNamed } from '../schema-book.ts';

const keyFacts = { keyId: z.string(), key: z.string() };

export const madeKey = answerNamed<MadeKey>()('MadeKey', z.strictObject(keyFacts));

export const foundedCellar = answerNamed<MadeKey & { cellar: string; title: string }>()(
  'FoundedCellar',
  z.strictObject({ cellar: z.string(), title: z.string(), ...keyFacts }),
);

export const keeperKey = answerNamed<MadeKey & { cellar: string }>()(
  'KeeperKey',
  z.strictObject({ cellar: z.string(), ...keyFacts }),
);

const keyListing = answerNamed<KeyListing>()(
  'KeyListing',
  z.strictObject({
    keyId: z.string(),
    title: z.string(),
    role: z.enum(roles),
    vessels: z.array(z.string()).readonly().nullable(),
    expiresAt: z.number().nullable(),
    lastUsedAt: z.number().nullable(),
    createdAt: z.number(),
    revokedAt: z.number().nullable(),
  }),
);

export const keyList = answerNamed<{ readonly keys: readonly KeyListing[] }>()(
  'KeyList',
  z.strictObject({ keys: z.array(keyListing).readonly() }),
);

const counts = {
  stored: z.number(),
  repeated: z.number(),
  corrected: z.number(),
  thinned: z.number().exactOptional(),
};

export const storedCounts = answerNamed<ReceivedCounts & { readonly records?: number }>()(
  'StoredCounts',
  z.strictObject({ ...counts, records: z.number().exactOptional() }),
);

export const historyReport = answerNamed<HistoryReport>()(
  'HistoryReport',
  z.strictObject({
    vessel: z.string(),
    rows: z.number(),
    first: z.number().nullable(),
    last: z.number().nullable(),
    columns: z
      .array(
        z.strictObject({
          heading: z.string(),
          channel: z.enum(channelNames).nullable(),
          unit: z.string().nullable(),
          values: z.number(),
        }),
      )
      .readonly(),
    rowsWithoutZone: z.number(),
    assumedOffsetSeconds: z.number(),
    ...counts,
  }),
);

export const health = answerNamed<Health & { status: 'ok' | 'failing'; timeSeconds: number }>()(
  'Health',
  z.strictObject({
    status: z.enum(['ok', 'failing']),
    storage: z.enum(['ok', 'failing']),
    wakeUps: z.enum(['ok', 'late']),
    timeSeconds: z.number(),
  }),
);

/** RFC 9457; the members beyond those of the standard are those that `problem.ts` adds. */
export const problem = answerNamed<{
  type: string;
  title: string;
  status: number;
  detail: string;
  errors?: { field: string; detail: string }[];
  record?: number;
  retryAfterSeconds?: number;
  stored?: number;
  repeated?: number;
  corrected?: number;
  thinned?: number;
}>()(
  'Problem',
  z.strictObject({
    type: z.string(),
    title: z.string(),
    status: z.number(),
    detail: z.string(),
    errors: z.array(z.strictObject({ field: z.string(), detail: z.string() })).exactOptional(),
    record: z.number().exactOptional(),
    retryAfterSeconds: z.number().exactOptional(),
    /** Of a stream that ended early. */
    stored: z.number().exactOptional(),
    repeated: z.number().exactOptional(),
    corrected: z.number().exactOptional(),
    thinned: z.number().exactOptional(),
  }),
);
