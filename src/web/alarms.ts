/** Alarms over HTTP: what stands, what was, how they do, and what a person does about one. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { actFromBody, actNamed } from './alarm-acts.ts';
import { answerAlarm } from './answer-alarm.ts';
import { figuresQuery } from './contract.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { noteAct } from './journal.ts';
import { parse, readJson } from './parse.ts';

/** Entries of the history that one answer holds. */
const historyLimit = 500;

export const alarms = new Hono<HttpContext>()
  .use('/:cellar/alarms/*', admission)
  .use('/:cellar/vessels/:vessel/alarms/*', admission)
  .get('/:cellar/alarms', only('viewer', 'operator', 'keeper'), async (context) => {
    const cellar = cellarStub(context.env, context.req.param('cellar'));
    const [standing, history] = await Promise.all([
      cellar.standingAlarms(),
      cellar.history(historyLimit),
    ]);
    return context.json({ standing, history });
  })
  .get('/:cellar/alarms/figures', only('viewer', 'operator', 'keeper'), async (context) => {
    const { days } = parse(figuresQuery, context.req.query());
    const cellar = cellarStub(context.env, context.req.param('cellar'));
    return context.json(await cellar.alarmFigures(days, context.get('now')));
  })
  .post(
    '/:cellar/vessels/:vessel/alarms/:alarm/:act',
    only('operator', 'keeper'),
    async (context) => {
      const { cellar, vessel, alarm, act } = context.req.param();
      const kind = actNamed(act);
      if (kind === null) throw new Refusal({ kind: 'path-unknown', path: context.req.path });
      const by = context.get('admission').grant.title;
      const body = await readJson(context.req.raw);
      const asked = actFromBody(kind, { alarm, by }, body);
      await answerAlarm(context.env, { cellar, vessel }, asked, context.get('now'));
      noteAct(context, { note: asked.note });
      return context.body(null, 204);
    },
  );
