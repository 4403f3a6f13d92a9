/**
 * The pages of the calculations, open to anyone who can reach the server, for the reasons given in
 * routes.ts. What is typed comes as a query, so that an answer can be kept, sent on and gone back to.
 */
import { Hono } from 'hono';
import { Refusal } from '../fault.ts';
import type { HttpContext } from '../http-context.ts';
import { visitIfSignedIn } from '../page-visit.ts';
import { calculationsPage } from '../pages/calculations.tsx';
import { calculationPage, type Outcome } from '../pages/calculations-one.tsx';
import type { Calculation } from './calculation.ts';
import { problemOfSchema, problemOfScience } from './page-problem.ts';
import { demandCalculation } from './routes.ts';
import { readTyped } from './typed.ts';

const outcomeOf = ({ inputs, calculate }: Calculation, query: URLSearchParams): Outcome => {
  if (query.size === 0) return { kind: 'waiting' };
  const typed = readTyped(inputs, query);
  if (typed.problems.length > 0) return { kind: 'refused', problems: typed.problems };
  try {
    const answer = calculate(typed.body);
    return answer.ok
      ? { kind: 'answered', body: typed.body, results: answer.value }
      : { kind: 'refused', problems: [problemOfScience(inputs, typed, answer.fault)] };
  } catch (error) {
    if (!(error instanceof Refusal) || error.fault.kind !== 'fields') throw error;
    const problems = error.fault.fields.map((fault) => problemOfSchema(inputs, typed, fault));
    return { kind: 'refused', problems };
  }
};

export const calculationPages = new Hono<HttpContext>()
  .get('/', async (context) =>
    context.html(calculationsPage({ visit: await visitIfSignedIn(context) })),
  )
  .get('/:name', async (context) => {
    const calculation = demandCalculation(context.req.param('name'));
    const query = new URL(context.req.url).searchParams;
    const outcome = outcomeOf(calculation, query);
    if (outcome.kind === 'refused') context.status(422);
    return context.html(
      calculationPage({ visit: await visitIfSignedIn(context), calculation, query, outcome }),
    );
  });
