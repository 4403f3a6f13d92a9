/**
 * The page behind a link in a message: shows the alarm first, and acknowledges it at a button. Opening it does
 * nothing, so that a mail program that looks ahead acknowledges nothing. A link works once and for a day;
 * one that is used, over or guessed gets one and the same answer.
 */
import { type Context, Hono } from 'hono';
import type { AlarmBehindLink } from '../storage/cellar-object.ts';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub } from '../storage/env.ts';
import { answerAlarm } from './answer-alarm.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { acknowledgedPage, acknowledgePage } from './pages/acknowledge.tsx';

type Link = { readonly cellar: string; readonly token: string };

const linkOf = (text: string): Link => {
  const [, cellar, token] = /^([a-z0-9][a-z0-9-]{0,62})\.([\w-]{43})$/.exec(text) ?? [];
  if (cellar === undefined || token === undefined) throw new Refusal({ kind: 'link-over' });
  return { cellar, token };
};

const behind = async (
  context: Context<HttpContext>,
  { cellar, token }: Link,
  now: number,
): Promise<AlarmBehindLink> => {
  const found = await cellarStub(context.env, cellar).alarmBehindLink(token, now);
  if (found === null) throw new Refusal({ kind: 'link-over' });
  return found;
};

const secluded = (context: Context<HttpContext>): void => {
  context.header('cache-control', 'no-store');
  context.header('referrer-policy', 'same-origin');
};

export const acknowledgePages = new Hono<HttpContext>()
  .get('/acknowledge/:link', async (context) => {
    secluded(context);
    const { link } = context.req.param();
    const now = await cellarNow(context.env);
    const found = await behind(context, linkOf(link), now);
    return context.html(acknowledgePage({ ...found, action: `/acknowledge/${link}` }));
  })
  .post('/acknowledge/:link', async (context) => {
    secluded(context);
    const link = linkOf(context.req.param('link'));
    const now = await cellarNow(context.env);
    const { alarm, vesselTitle, receiver } = await behind(context, link, now);
    if (!(await cellarStub(context.env, link.cellar).useLink(link.token, now)))
      throw new Refusal({ kind: 'link-over' });
    const by = `${receiver}, by link`;
    await answerAlarm(
      context.env,
      { cellar: link.cellar, vessel: alarm.vessel },
      { kind: 'acknowledge', alarm: alarm.alarm, by, note: null },
      now,
    );
    await cellarStub(context.env, link.cellar).enterJournal({
      at: now,
      by,
      act: 'alarm-acknowledged',
      about: `${alarm.vessel}/${alarm.alarm}`,
      note: null,
      facts: {},
    });
    return context.html(acknowledgedPage({ alarm, vesselTitle }));
  });
