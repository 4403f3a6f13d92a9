/**
 * The floor of the bench: the least that stores readings on this platform. The same router and schema
 * library, one object per vessel, one INSERT per reading, all of a request in one transaction; no key, no
 * units, no idempotence, no detector.
 */
import { DurableObject } from 'cloudflare:workers';
import { Hono } from 'hono';
import * as z from 'zod';

const body = z.array(z.object({ channel: z.string(), time: z.number(), value: z.number() })).min(1);
type Readings = z.infer<typeof body>;

type Env = { readonly FLOOR: DurableObjectNamespace<FloorObject> };

export class FloorObject extends DurableObject<Env> {
  constructor(ctx: DurableObjectState, env: Env) {
    super(ctx, env);
    ctx.storage.sql.exec(
      'CREATE TABLE IF NOT EXISTS reading (channel TEXT NOT NULL, time REAL NOT NULL, value REAL NOT NULL) STRICT',
    );
  }

  async store(readings: Readings): Promise<number> {
    this.ctx.storage.transactionSync(() => {
      for (const { channel, time, value } of readings)
        this.ctx.storage.sql.exec(
          'INSERT INTO reading (channel, time, value) VALUES (?, ?, ?)',
          channel,
          time,
          value,
        );
    });
    return readings.length;
  }
}

const app = new Hono<{ Bindings: Env }>().post('/:vessel', async (context) => {
  const readings = body.parse(await context.req.json());
  const { FLOOR } = context.env;
  const stored = await FLOOR.get(FLOOR.idFromName(context.req.param('vessel'))).store(readings);
  return context.json({ stored });
});

// biome-ignore lint/style/noDefaultExport: the platform takes a worker's handler as the default export
export default app;
