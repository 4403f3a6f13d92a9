/**
 * The calculations over JSON: the list, one with the schema of its body, and the calculation itself.
 *
 * No key is asked for. A calculation keeps nothing, reads nothing of any cellar and touches no object, so
 * there is nothing to guard; and whoever can reach the server may need a pressure in a hurry. What it can
 * cost is bounded instead: a body of at most 16 kB, lists of at most a dozen components (a hundred readings),
 * and no loop whose length the body decides beyond that.
 */
import { Hono } from 'hono';
import { readText, requireMediaType } from '../body.ts';
import { Refusal } from '../fault.ts';
import type { HttpContext } from '../http-context.ts';
import { parseJsonText } from '../parse.ts';
import type { Calculation } from './calculation.ts';
import { answerOf, descriptionOf } from './describe.ts';
import { calculationNamed, calculations } from './table.ts';

/** A dozen components with everything measured are 4 kB: chosen with room to spare. */
const bodyLimitBytes = 16 * 1024;

/** The table changes with a release only. Five minutes, chosen by us: a longer time hides a release longer. */
const listed = { 'cache-control': 'public, max-age=300' };

export const demandCalculation = (name: string): Calculation => {
  const found = calculationNamed(name);
  if (found === null) throw new Refusal({ kind: 'not-found', what: 'calculation', name });
  return found;
};

export const calculationRoutes = new Hono<HttpContext>()
  .get('/', (context) =>
    context.json({ calculations: calculations.map(descriptionOf) }, 200, listed),
  )
  .get('/:name', (context) =>
    context.json(descriptionOf(demandCalculation(context.req.param('name'))), 200, listed),
  )
  .post('/:name', async (context) => {
    const one = demandCalculation(context.req.param('name'));
    requireMediaType(context.req.raw, ['application/json']);
    const body = parseJsonText(await readText(context.req.raw, bodyLimitBytes));
    const outcome = one.calculate(body);
    if (!outcome.ok) throw new Refusal({ kind: 'calculation', fault: outcome.fault });
    return context.json(answerOf(one, outcome.value), 200, { 'cache-control': 'no-store' });
  });
