/** Makes a cellar, or one more keeper key for it, with the secret of whoever runs the worker. */
import * as z from 'zod';

const keyAnswer = z.object({ key: z.string() });

const post = (url: string, operatorSecret: string, body: unknown): Promise<Response> =>
  fetch(url, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${operatorSecret}`,
      'content-type': 'application/json',
    },
    body: JSON.stringify(body),
  });

const keyOf = async (answer: Response): Promise<string> => {
  const text = await answer.text();
  if (answer.status !== 201) throw new Error(`the worker answered ${answer.status}: ${text}`);
  return keyAnswer.parse(JSON.parse(text)).key;
};

/** The first keeper's key, which is told this once; null where the cellar exists already. */
export const foundCellar = async (
  url: string,
  operatorSecret: string,
  cellar: { readonly cellar: string; readonly title: string },
): Promise<string | null> => {
  const answer = await post(`${url}/v1/cellars`, operatorSecret, cellar);
  if (answer.status === 409) {
    await answer.body?.cancel();
    return null;
  }
  return keyOf(answer);
};

export const anotherKeeperKey = async (
  url: string,
  operatorSecret: string,
  cellar: string,
): Promise<string> =>
  keyOf(
    await post(`${url}/v1/cellars/${cellar}/keeper-keys`, operatorSecret, {
      title: 'Another keeper',
    }),
  );
