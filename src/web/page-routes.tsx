/** The pages a person opens: sign in, the cellar, a vessel, the alarms; forms that act on them. */
import { type Context, Hono } from 'hono';
import { csrf } from 'hono/csrf';
import { etag } from 'hono/etag';
import { isShown } from '../monitoring/alarms/alarm-standing.ts';
import type { StandingAlarm } from '../storage/alarm-history.ts';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub, type Env, vesselStub } from '../storage/env.ts';
import type { ProblemDetails } from '../wire/problem-details.ts';
import { acknowledgePages } from './acknowledge-routes.tsx';
import { admitKey } from './admission.ts';
import { actFromBody, actNamed, bodyFromForm } from './alarm-acts.ts';
import { answerAlarm } from './answer-alarm.ts';
import { calculationPages } from './calculations/page-routes.ts';
import { callerAddress } from './caller-address.ts';
import { cellarOfKey } from './cellar-key.ts';
import { readChart } from './chart.ts';
import { deedBody, sampleBody, stageBody } from './contract.ts';
import { Refusal } from './fault.ts';
import { sampleFromForm } from './form-body.ts';
import type { HttpContext } from './http-context.ts';
import { described, noteAct } from './journal.ts';
import { journalPages } from './journal-pages.tsx';
import { limits } from './limit-routes.tsx';
import { signInWords } from './messages.ts';
import { pageForm } from './page-form.ts';
import { pageVisit, requireRole, visitIfSignedIn } from './page-visit.ts';
import { alarmsPage } from './pages/alarms.tsx';
import { cellarPage } from './pages/cellar.tsx';
import { errorPage } from './pages/error.tsx';
import { figuresPage } from './pages/figures.tsx';
import { interfacePage } from './pages/interface.tsx';
import { signInPage } from './pages/sign-in.tsx';
import { vesselPage } from './pages/vessel.tsx';
import { parse } from './parse.ts';
import { pushPages, pushWorker } from './push-routes.ts';
import { receiverPages } from './receiver-routes.tsx';
import { changeStage, endBatch, recordDeed } from './run-batch.ts';
import { closeSession, openSession, readSession } from './session.ts';
import { setUp } from './set-up-routes.tsx';
import { takeSample } from './take-sample.ts';

/** Entries of the history that the alarms page shows. */
const shownHistory = 200;
/** The figures of a month, as the standards are quoted with. */
const figuresDays = 30;
/** The trend beside a vessel spans two days in hours: chosen by us, what fits a phone. */
const trendSeconds = 2 * 86_400;
const trendBuckets = 48;

/** The same words as a problem document, as a page. */
export const pageProblem = (
  context: Context<HttpContext>,
  { status, title, detail }: ProblemDetails,
): Response | Promise<Response> => {
  context.status(status as 400);
  context.header('cache-control', 'no-store');
  return context.html(
    errorPage({ status, title, detail: detail ?? '', visit: context.get('visit') }),
  );
};

/**
 * The page's host must be the one that the form came from. Only hosts are compared: a proxy that
 * ends TLS passes requests on as plain HTTP.
 */
const sameHost = csrf({
  origin: (origin, context) => URL.parse(origin)?.host === new URL(context.req.url).host,
});

const rowOf = async (env: Env, cellar: string, vessel: string, now: number) => {
  const stub = vesselStub(env, cellar, vessel);
  const [view, trend] = await Promise.all([
    stub.view(now),
    stub.chart({ from: now - trendSeconds, to: now, buckets: trendBuckets }, now),
  ]);
  return view === null ? [] : [{ ...view, trend }];
};

/** Those before people; what is set aside is followed in silence. */
const shownCount = (standing: readonly StandingAlarm[]): number =>
  standing.filter(({ state }) => isShown(state)).length;

const vesselAddress = (cellar: string, vessel: string): string =>
  `/cellars/${cellar}/vessels/${vessel}`;

export const pages = new Hono<HttpContext>()
  .use(sameHost)
  .use(etag())
  .use(async (context, next) => {
    await next();
    if (!context.res.headers.has('cache-control'))
      context.header('cache-control', 'private, no-cache');
  })
  .get('/', async (context) => {
    const session = await readSession(context, await cellarNow(context.env));
    return context.redirect(session === null ? '/sign-in' : `/cellars/${session.cellar}`, 303);
  })
  .get('/sign-in', (context) => context.html(signInPage({})))
  .post('/sign-in', async (context) => {
    const key = (await pageForm(context)).key?.trim() ?? '';
    const cellar = cellarOfKey(key);
    if (cellar === null) return context.html(signInPage({ problem: signInWords.refused }), 401);
    const now = await cellarNow(context.env);
    const address = callerAddress(context.req.raw.headers);
    const tried = await admitKey(context.env, cellar, key, { address, now });
    if (tried.kind === 'refused') {
      const wait = tried.retryAfterSeconds;
      if (wait === null) return context.html(signInPage({ problem: signInWords.refused }), 401);
      context.header('retry-after', String(wait));
      return context.html(signInPage({ problem: signInWords.wait(wait) }), 429);
    }
    const { grant } = tried.admission;
    if (grant.role === 'sensor')
      return context.html(signInPage({ problem: signInWords.sensorKey }), 401);
    await openSession(context, cellar, grant, now);
    return context.redirect(`/cellars/${cellar}`, 303);
  })
  .post('/sign-out', async (context) => {
    await closeSession(context);
    return context.redirect('/sign-in', 303);
  })
  .get('/interface', async (context) =>
    context.html(
      interfacePage({
        visit: await visitIfSignedIn(context),
        origin: new URL(context.req.url).origin,
      }),
    ),
  )
  .route('/calculations', calculationPages)
  .route('/', acknowledgePages)
  .route('/', pushWorker)
  .use('/cellars/:cellar/*', pageVisit)
  .get('/cellars/:cellar', async (context) => {
    const { cellar } = context.req.param();
    const now = context.get('now');
    const list = cellarStub(context.env, cellar);
    const [vessels, standingAlarms] = await Promise.all([list.vessels(), list.standingAlarms()]);
    const rows = await Promise.all(
      vessels.map(({ vessel }) => rowOf(context.env, cellar, vessel, now)),
    );
    return context.html(
      cellarPage({ ...context.get('visit'), rows: rows.flat(), standingAlarms, now }),
    );
  })
  .get('/cellars/:cellar/alarms', async (context) => {
    const list = cellarStub(context.env, context.req.param('cellar'));
    const [standing, history, vessels] = await Promise.all([
      list.standingAlarms(),
      list.history(shownHistory),
      list.vessels(),
    ]);
    return context.html(
      alarmsPage({
        ...context.get('visit'),
        standing,
        history,
        vessels,
        now: context.get('now'),
      }),
    );
  })
  .get('/cellars/:cellar/alarms/figures', async (context) => {
    const list = cellarStub(context.env, context.req.param('cellar'));
    const [figures, standing, vessels] = await Promise.all([
      list.alarmFigures(figuresDays, context.get('now')),
      list.standingAlarms(),
      list.vessels(),
    ]);
    return context.html(
      figuresPage({ ...context.get('visit'), figures, standing: shownCount(standing), vessels }),
    );
  })
  .get('/cellars/:cellar/vessels/:vessel', async (context) => {
    const { cellar, vessel: name } = context.req.param();
    const now = context.get('now');
    const [view, standing] = await Promise.all([
      vesselStub(context.env, cellar, name).view(now),
      cellarStub(context.env, cellar).standingAlarms(),
    ]);
    if (view === null) throw new Refusal({ kind: 'not-found', what: 'vessel', name });
    return context.html(
      vesselPage({ ...context.get('visit'), ...view, standing: shownCount(standing), now }),
    );
  })
  .get('/cellars/:cellar/vessels/:vessel/chart.json', async (context) =>
    context.json(
      await readChart(context.env, context.req.param(), context.req.query(), context.get('now')),
    ),
  )
  .post('/cellars/:cellar/vessels/:vessel/alarms/:alarm/:act', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const { cellar, vessel, alarm, act } = context.req.param();
    const kind = actNamed(act);
    if (kind === null) throw new Refusal({ kind: 'path-unknown', path: context.req.path });
    const now = context.get('now');
    const by = context.get('admission').grant.title;
    const body = bodyFromForm(kind, await pageForm(context), now);
    const asked = actFromBody(kind, { alarm, by }, body);
    await answerAlarm(context.env, { cellar, vessel }, asked, now);
    noteAct(context, { note: asked.note });
    return context.redirect(vesselAddress(cellar, vessel), 303);
  })
  .post('/cellars/:cellar/vessels/:vessel/samples', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const { cellar, vessel } = context.req.param();
    const body = parse(sampleBody, sampleFromForm(await pageForm(context)));
    const by = context.get('admission').grant.title;
    const taken = await takeSample(context.env, { cellar, vessel }, body, by, context.get('now'));
    noteAct(context, { note: taken.note, facts: described(taken) });
    return context.redirect(`${vesselAddress(cellar, vessel)}#hand-samples`, 303);
  })
  .post('/cellars/:cellar/batches/:batch/stage', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const { cellar, batch } = context.req.param();
    const { stage } = parse(stageBody, { stage: (await pageForm(context)).stage });
    const { vessel } = await changeStage(context.env, cellar, batch, stage, context.get('now'));
    return context.redirect(vesselAddress(cellar, vessel), 303);
  })
  .post('/cellars/:cellar/batches/:batch/deeds', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const place = context.req.param();
    const body = parse(deedBody, { deed: (await pageForm(context)).deed });
    const by = context.get('admission').grant.title;
    const { vessel } = await recordDeed(context.env, place, body, by, context.get('now'));
    return context.redirect(vesselAddress(place.cellar, vessel), 303);
  })
  .post('/cellars/:cellar/batches/:batch/end', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const { cellar, batch } = context.req.param();
    const { vessel } = await endBatch(context.env, cellar, batch, context.get('now'));
    return context.redirect(vesselAddress(cellar, vessel), 303);
  })
  .route('/', limits)
  .route('/', journalPages)
  .route('/', receiverPages)
  .route('/', pushPages)
  .route('/', setUp);
