/**
 * One request to a receiver and what came of it, in words that never hold its address or a secret.
 * A redirect is not followed: it could lead inside the network. `send` is an argument so that tests can
 * stand in for the network.
 */

export type Outcome =
  | { readonly kind: 'delivered'; readonly words: string }
  | { readonly kind: 'failed'; readonly words: string; readonly retryAfterSeconds: number | null }
  /** The receiver is no more and is to be dropped. */
  | { readonly kind: 'gone'; readonly words: string };

/** Longest wait for an answer: chosen by us; Standard Webhooks recommends 15 to 30 s. */
export const answerSeconds = 15;

/**
 * Longest silence that a receiver may ask for. Chosen by us: an alarm must not wait for longer, whatever a
 * misconfigured receiver asks.
 */
const longestHoldSeconds = 3600;

/** Seconds asked for by Retry-After, a number or a date (RFC 9110 section 10.2.3); null where it is neither. */
const retryAfterSeconds = (answer: Response, nowMilliseconds: number): number | null => {
  const header = answer.headers.get('retry-after')?.trim() ?? '';
  const seconds = /^\d{1,9}$/.test(header)
    ? Number(header)
    : (Date.parse(header) - nowMilliseconds) / 1000;
  return Number.isFinite(seconds) ? Math.min(Math.max(seconds, 0), longestHoldSeconds) : null;
};

const failure = (error: unknown): string => {
  if (error instanceof Error && error.name === 'TimeoutError')
    return `no answer within ${answerSeconds} s`;
  const reason = error instanceof Error ? error.message : String(error);
  return `no answer: ${reason.replace(/\S*:\/\/\S*/g, '(address)').slice(0, 120)}`;
};

export const tryRequest = async (
  url: string,
  request: {
    readonly method: string;
    readonly headers: Readonly<Record<string, string>>;
    readonly body: BodyInit;
  },
  send: typeof fetch,
): Promise<Outcome & { readonly status: number | null }> => {
  // A timer that is taken down again: one that is left behind would keep the object awake for nothing.
  const patience = new AbortController();
  const timer = setTimeout(
    () => patience.abort(new DOMException('no answer in time', 'TimeoutError')),
    answerSeconds * 1000,
  );
  try {
    const answer = await send(url, { ...request, redirect: 'manual', signal: patience.signal });
    // The answer stands once its head is here; a body that breaks off changes nothing.
    await answer.body?.cancel().catch(() => undefined);
    const { status } = answer;
    const redirects = status >= 300 && status < 400;
    const words = `answered ${status}${redirects ? ', a redirect, which is not followed' : ''}`;
    return answer.ok
      ? { kind: 'delivered', words, status }
      : {
          kind: 'failed',
          words,
          status,
          retryAfterSeconds: retryAfterSeconds(answer, Date.now()),
        };
  } catch (error) {
    return { kind: 'failed', words: failure(error), status: null, retryAfterSeconds: null };
  } finally {
    clearTimeout(timer);
  }
};
