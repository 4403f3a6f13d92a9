/** Signs in to the pages with a key and sends their forms, as a browser does. */
import { expect } from 'vitest';
import { ask } from './cellar-fixture.ts';

const origin = 'http://cellar.test';

type Browser = {
  readonly cookie: string;
  get(path: string): Promise<Response>;
  submit(path: string, fields: Record<string, string>, from?: string): Promise<Response>;
};

const post = (
  path: string,
  fields: Record<string, string>,
  cookie: string,
  from: string,
): Promise<Response> =>
  ask(path, {
    method: 'POST',
    headers: { cookie, origin: from, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields).toString(),
  });

export const signIn = async (key: string): Promise<Response> =>
  post('/sign-in', { key }, '', origin);

export const browserOf = async (key: string): Promise<Browser> => {
  const answer = await signIn(key);
  expect(answer.status).toBe(303);
  const cookie = answer.headers.get('set-cookie')?.split(';')[0] ?? '';
  return {
    cookie,
    get: (path) => ask(path, { headers: { cookie } }),
    submit: (path, fields, from = origin) => post(path, fields, cookie, from),
  };
};
