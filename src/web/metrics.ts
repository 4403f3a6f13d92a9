/**
 * How Gyleward itself does, as OpenMetrics text, for a scraper that holds a key of the cellar: a viewer key is enough,
 * and is named by it which cellar is meant. Not the operator's secret: who scrapes should not be able to found cellars.
 *
 * Figures are of one cellar. An edge worker runs in many isolates and knows of no list of all objects, so that nothing
 * can be counted over all of them here. What stands in rows is told from rows; what is only counted in memory is
 * counted by the one object of a vessel or cellar, begins anew when that is started again, and says since when.
 */
import { Hono } from 'hono';
import { alarmStates } from '../monitoring/alarms/alarm.ts';
import type { StandingAlarm } from '../storage/alarm-history.ts';
import type { CellarTallies } from '../storage/cellar-object.ts';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub, vesselStub } from '../storage/env.ts';
import type { VesselTallies } from '../storage/vessel-object.ts';
import {
  type MetricFamily,
  openMetricsMediaType,
  openMetricsText,
} from '../wire/openmetrics-write.ts';
import { admitKey, bearer, demandAdmission } from './admission.ts';
import { callerAddress } from './caller-address.ts';
import { cellarOfKey } from './cellar-key.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';

const priorities = ['high', 'medium', 'low'] as const;

type OfVessel = VesselTallies & { readonly vessel: string };

const alarmFamily = (standing: readonly StandingAlarm[]): MetricFamily => ({
  kind: 'gauge',
  name: 'gyleward_alarms',
  help: 'Alarms of the cellar by state and priority.',
  samples: alarmStates
    .filter((state) => state !== 'normal')
    .flatMap((state) =>
      priorities.map((priority) => ({
        labels: { state, priority },
        value: standing.filter((alarm) => alarm.state === state && alarm.priority === priority)
          .length,
      })),
    ),
});

const gauge = (name: string, help: string, value: number): MetricFamily => ({
  kind: 'gauge',
  name,
  help,
  samples: [{ labels: {}, value }],
});

const counted = (
  name: string,
  help: string,
  all: readonly OfVessel[],
  read: (one: VesselTallies) => number,
): MetricFamily => ({
  kind: 'counter',
  name,
  help,
  samples: all.map((one) => ({
    labels: { vessel: one.vessel },
    value: read(one),
    since: one.since,
  })),
});

const families = (cellar: CellarTallies, all: readonly OfVessel[]): readonly MetricFamily[] => [
  counted(
    'gyleward_readings_stored',
    'Readings stored, since the object of the vessel was started.',
    all,
    ({ readingsStored }) => readingsStored,
  ),
  {
    kind: 'counter',
    name: 'gyleward_packs_refused',
    help: 'Packs of readings refused after their key was let in, by reason, since the object of the cellar was started.',
    samples: cellar.refusedPacks.map(({ reason, count }) => ({
      labels: { reason },
      value: count,
      since: cellar.since,
    })),
  },
  {
    kind: 'counter',
    name: 'gyleward_keys_refused',
    help: 'Tries with a key that opens nothing, since the object of the cellar was started.',
    samples: [{ labels: {}, value: cellar.refusedKeys, since: cellar.since }],
  },
  alarmFamily(cellar.standing),
  gauge(
    'gyleward_deliveries_waiting',
    'Pieces of news that wait to be delivered to receivers.',
    cellar.deliveriesWaiting,
  ),
  gauge(
    'gyleward_deliveries_given_up',
    'Pieces of news that were given up and lie as dead letters.',
    cellar.deliveriesGivenUp,
  ),
  counted(
    'gyleward_wake_ups',
    'Wake-ups of the vessel, since its object was started.',
    all,
    ({ wakeUps }) => wakeUps,
  ),
  counted(
    'gyleward_wake_ups_late',
    'Wake-ups that came more than five minutes after they were due, since the object was started.',
    all,
    ({ lateWakeUps }) => lateWakeUps,
  ),
  {
    kind: 'gauge',
    name: 'gyleward_outbox_oldest_age_seconds',
    unit: 'seconds',
    help: 'Age by the wall clock of the oldest news that has not left the vessel; 0 where all has.',
    samples: all.map(({ vessel, oldestOutboxSeconds }) => ({
      labels: { vessel },
      value: oldestOutboxSeconds,
    })),
  },
];

export const metrics = new Hono<HttpContext>().get('/', async (context) => {
  const key = bearer(context.req.header('authorization'));
  if (key === null) throw new Refusal({ kind: 'key-missing' });
  const cellar = cellarOfKey(key);
  if (cellar === null) throw new Refusal({ kind: 'key-refused' });
  const now = await cellarNow(context.env);
  const address = callerAddress(context.req.raw.headers);
  const { grant } = demandAdmission(await admitKey(context.env, cellar, key, { address, now }));
  if (grant.role === 'sensor')
    throw new Refusal({
      kind: 'role-too-low',
      role: grant.role,
      needed: ['viewer', 'operator', 'keeper'],
    });
  const own = await cellarStub(context.env, cellar).tallies(now);
  const all = await Promise.all(
    own.vessels.map(async (vessel) => ({
      ...(await vesselStub(context.env, cellar, vessel).tallies()),
      vessel,
    })),
  );
  return context.body(openMetricsText(families(own, all)), 200, {
    'content-type': openMetricsMediaType,
    'cache-control': 'no-store',
  });
});
