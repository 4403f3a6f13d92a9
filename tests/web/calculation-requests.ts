/**
 * Asks the calculations as a program does. No binding is handed over: a calculation that touched an object,
 * a clock or a secret would fail here.
 */
import { app } from '../../src/web/app.ts';

export type Answer = {
  readonly calculation: string;
  readonly results: Readonly<Record<string, unknown>>;
  readonly sources: readonly {
    readonly source: string;
    readonly holds: string;
    readonly figures: readonly string[];
  }[];
  readonly caution: string | null;
};

export const askCalculations = async (path = '', init: RequestInit = {}): Promise<Response> =>
  app.request(`/v1/calculations${path}`, init);

export const askText = (name: string, body: string): Promise<Response> =>
  askCalculations(`/${name}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body,
  });

export const calculate = async (name: string, body: unknown): Promise<Answer> => {
  const answer = await askText(name, JSON.stringify(body));
  if (answer.status !== 200)
    throw new Error(`${name} answered ${answer.status}: ${await answer.text()}`);
  return answer.json<Answer>();
};

/** One number of an answer. */
export const figure = async (name: string, body: unknown, key: string): Promise<number> => {
  const { results } = await calculate(name, body);
  const value = results[key];
  if (typeof value !== 'number') throw new Error(`${name} gave no number ${key}: ${String(value)}`);
  return value;
};

export type Refused = {
  readonly status: number;
  readonly title: string;
  readonly detail: string;
  readonly errors: readonly { readonly field: string; readonly detail: string }[];
};

export const refused = async (name: string, text: string): Promise<Refused> => {
  const answer = await askText(name, text);
  if (answer.headers.get('content-type') !== 'application/problem+json')
    throw new Error(`${name} refused nothing: ${answer.status} ${await answer.text()}`);
  return answer.json<Refused>();
};
