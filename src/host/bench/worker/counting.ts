/**
 * Gyleward with its rows, calls and wake-ups counted: the worker of production around objects that count
 * what their SQL reads and writes. Time stands still until it is told, and a wake-up comes when it is asked
 * for, so that a fortnight passes in seconds with the wake-ups of a fortnight.
 */
import { CellarObject } from '../../../storage/cellar-object.ts';
import { cellarStub, type Env, vesselStub } from '../../../storage/env.ts';
import { VesselObject } from '../../../storage/vessel-object.ts';
import { app } from '../../../web/app.ts';

type Counts = { rowsRead: number; rowsWritten: number; calls: number; wakeUps: number };

const none = (): Counts => ({ rowsRead: 0, rowsWritten: 0, calls: 0, wakeUps: 0 });
const counts = { vessel: none(), cellar: none(), requests: 0 };
type Kind = 'vessel' | 'cellar';

/** Rows are known of a cursor when it has been read to its end, so that they are summed at the end. */
const cursors: { readonly kind: Kind; readonly cursor: SqlStorageCursor<never> }[] = [];

let clockSeconds = Date.now() / 1000;
Date.now = () => clockSeconds * 1000;

type Timer = { dueMilliseconds: number | null };

/** Puts counters and a timer of ours in the place of the platform's. */
const counted = (ctx: DurableObjectState, kind: Kind, timer: Timer): DurableObjectState => {
  const { storage } = ctx;
  const exec = storage.sql.exec;
  storage.sql.exec = ((query: string, ...bindings: unknown[]) => {
    const cursor = exec.call(storage.sql, query, ...bindings);
    cursors.push({ kind, cursor: cursor as SqlStorageCursor<never> });
    return cursor;
  }) as typeof storage.sql.exec;
  storage.getAlarm = async () => timer.dueMilliseconds;
  storage.setAlarm = async (moment) => {
    timer.dueMilliseconds = Number(moment);
    // The platform bills each set of the timer as a row written.
    counts[kind].rowsWritten += 1;
  };
  return ctx;
};

const fire = async (
  kind: Kind,
  timer: Timer,
  wake: () => Promise<void>,
  seconds: number,
): Promise<void> => {
  while (timer.dueMilliseconds !== null && timer.dueMilliseconds <= seconds * 1000) {
    clockSeconds = Math.max(clockSeconds, timer.dueMilliseconds / 1000);
    timer.dueMilliseconds = null;
    counts[kind].wakeUps += 1;
    await wake();
  }
};

export class CountedVessel extends VesselObject {
  readonly #timer: Timer;

  constructor(ctx: DurableObjectState, env: Env) {
    const timer: Timer = { dueMilliseconds: null };
    super(counted(ctx, 'vessel', timer), env);
    this.#timer = timer;
  }

  override record(
    ...given: Parameters<VesselObject['record']>
  ): ReturnType<VesselObject['record']> {
    counts.vessel.calls += 1;
    return super.record(...given);
  }

  async wakeUpTo(seconds: number): Promise<void> {
    await fire('vessel', this.#timer, () => this.alarm(), seconds);
  }
}

export class CountedCellar extends CellarObject {
  readonly #timer: Timer;

  constructor(ctx: DurableObjectState, env: Env) {
    const timer: Timer = { dueMilliseconds: null };
    super(counted(ctx, 'cellar', timer), env);
    this.#timer = timer;
  }

  override admitKey(
    ...given: Parameters<CellarObject['admitKey']>
  ): ReturnType<CellarObject['admitKey']> {
    counts.cellar.calls += 1;
    return super.admitKey(...given);
  }

  override takeNews(
    ...given: Parameters<CellarObject['takeNews']>
  ): ReturnType<CellarObject['takeNews']> {
    counts.cellar.calls += 1;
    return super.takeNews(...given);
  }

  async wakeUpTo(seconds: number): Promise<void> {
    await fire('cellar', this.#timer, () => this.alarm(), seconds);
  }
}

const sumCursors = (): void => {
  for (const { kind, cursor } of cursors.splice(0)) {
    counts[kind].rowsRead += cursor.rowsRead;
    counts[kind].rowsWritten += cursor.rowsWritten;
  }
};

// biome-ignore lint/style/noDefaultExport: the platform takes a worker's handler as the default export
export default {
  fetch: async (request: Request, env: Env, context: ExecutionContext): Promise<Response> => {
    const { pathname, searchParams } = new URL(request.url);
    const seconds = Number(searchParams.get('to'));
    const [cellar, vessel] = [searchParams.get('cellar') ?? '', searchParams.get('vessel') ?? ''];
    switch (pathname) {
      case '/pass': {
        // The stubs are those of the counted classes, which the environment's type does not know.
        const one = vesselStub(env, cellar, vessel) as unknown as DurableObjectStub<CountedVessel>;
        const all = cellarStub(env, cellar) as unknown as DurableObjectStub<CountedCellar>;
        await one.wakeUpTo(seconds);
        await all.wakeUpTo(seconds);
        clockSeconds = seconds;
        return new Response(null, { status: 204 });
      }
      case '/counts':
        sumCursors();
        return Response.json(counts);
      case '/reset':
        cursors.length = 0;
        Object.assign(counts, { vessel: none(), cellar: none(), requests: 0 });
        return new Response(null, { status: 204 });
      default:
        counts.requests += 1;
        return app.fetch(request, env, context);
    }
  },
};
