import type { CellarObject } from './cellar-object.ts';
import type { VesselObject } from './vessel-object.ts';

/** What the platform hands to the worker and its objects. */
export type Env = {
  readonly VESSEL: DurableObjectNamespace<VesselObject>;
  readonly CELLAR: DurableObjectNamespace<CellarObject>;
  /** Guards the founding of cellars; at least 32 characters, kept by whoever runs the worker. */
  readonly OPERATOR_SECRET: string;
  /** Signs the page's session cookie. */
  readonly COOKIE_SECRET: string;
  /** "yes" lets receivers live on private and loopback addresses, over plain HTTP. */
  readonly ALLOW_PRIVATE_RECEIVERS?: string;
  /** Where people reach these pages, such as https://cellar.example; messages carry links where it is set. */
  readonly PUBLIC_URL?: string;
  /** Readings that a key may send to a vessel per minute; a default stands in `reading-budget.ts`. */
  readonly READINGS_PER_MINUTE?: string;
  /** Answers the present Unix seconds as text; bound by the demo and the tests only. */
  readonly CLOCK?: Fetcher;
  /** "unforeseen" has leaps of CLOCK taken as those of a real clock; the torture says so. */
  readonly CLOCK_LEAPS?: string;
};

export const cellarStub = (env: Env, cellar: string): DurableObjectStub<CellarObject> =>
  env.CELLAR.get(env.CELLAR.idFromName(cellar));

/**
 * Counts failed tries of the operator's secret: no cellar is named by them, so they have an object whose name no
 * cellar can have.
 */
export const operatorDoor = (env: Env): DurableObjectStub<CellarObject> =>
  cellarStub(env, ' operator');

/** Finds out whether storage and wake-ups work; no cellar can have its name. */
export const healthProbe = (env: Env): DurableObjectStub<CellarObject> =>
  cellarStub(env, ' health');

export const vesselStub = (
  env: Env,
  cellar: string,
  vessel: string,
): DurableObjectStub<VesselObject> => env.VESSEL.get(env.VESSEL.idFromName(`${cellar}/${vessel}`));
