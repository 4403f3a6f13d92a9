/** Alarms over HTTP: what stands, what was, and what a person does about one. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { answerAlarm } from './answer-alarm.ts';
import { acknowledgeBody, shelveBody } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { parseBody } from './parse.ts';

/** Entries of the history that one answer holds. */
const historyLimit = 500;

export const alarms = new Hono<HttpContext>()
  .use('/:cellar/alarms', admission)
  .use('/:cellar/vessels/:vessel/alarms/*', admission)
  .get('/:cellar/alarms', only('viewer', 'operator', 'keeper'), async (context) => {
    const cellar = cellarStub(context.env, context.req.param('cellar'));
    const [standing, history] = await Promise.all([
      cellar.standingAlarms(),
      cellar.history(historyLimit),
    ]);
    return context.json({ standing, history });
  })
  .post(
    '/:cellar/vessels/:vessel/alarms/:alarm/acknowledge',
    only('operator', 'keeper'),
    async (context) => {
      const { note } = await parseBody(acknowledgeBody, context.req.raw);
      const { cellar, vessel, alarm } = context.req.param();
      const by = context.get('admission').grant.title;
      await answerAlarm(
        context.env,
        { cellar, vessel },
        { kind: 'acknowledge', alarm, by, note },
        context.get('now'),
      );
      return context.body(null, 204);
    },
  )
  .post(
    '/:cellar/vessels/:vessel/alarms/:alarm/shelve',
    only('operator', 'keeper'),
    async (context) => {
      const { until, note } = await parseBody(shelveBody, context.req.raw);
      const { cellar, vessel, alarm } = context.req.param();
      const by = context.get('admission').grant.title;
      await answerAlarm(
        context.env,
        { cellar, vessel },
        { kind: 'shelve', alarm, by, until, note },
        context.get('now'),
      );
      return context.body(null, 204);
    },
  );
