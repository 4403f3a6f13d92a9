import type { Admission } from '../storage/cellar-object.ts';
import type { Env } from '../storage/env.ts';
import type { Noted } from './journal.ts';
import type { Visit } from './pages/layout.tsx';

/** What handlers find on the context: bindings, and who is asking once a middleware has let them in. */
export type HttpContext = {
  readonly Bindings: Env;
  readonly Variables: {
    admission: Admission;
    /** Asks the cellar again, past what the isolate remembers of the key. */
    renew: () => Promise<Admission>;
    /** Who looks at a page; set for signed-in pages only. */
    visit: Visit;
    /** Set once the journal has seen the request: two doors may stand before one address. */
    entered: boolean | undefined;
    /** What a handler adds to the entry of the journal for what it has done. */
    noted: Noted | undefined;
    /** Unix seconds of cellar time, read once per request. */
    now: number;
  };
};
