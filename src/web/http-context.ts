import type { Admission } from '../storage/cellar-object.ts';
import type { Env } from '../storage/env.ts';

/** What handlers find on the context: bindings, and who is asking once a middleware has let them in. */
export type HttpContext = {
  readonly Bindings: Env;
  readonly Variables: {
    admission: Admission;
    /** Asks the cellar again, past what the isolate remembers of the key. */
    renew: () => Promise<Admission>;
    /** Unix seconds of cellar time, read once per request. */
    now: number;
  };
};
