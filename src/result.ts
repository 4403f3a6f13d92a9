/**
 * The two-armed result that every layer may return: what went right, or the fault with its numbers.
 * Exceptions are for bugs and platform failures only. No I/O, no clock.
 */
export type Result<Value, Fault> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly fault: Fault };

export const ok = <Value>(value: Value): { readonly ok: true; readonly value: Value } => ({
  ok: true,
  value,
});

export const fail = <Fault>(fault: Fault): { readonly ok: false; readonly fault: Fault } => ({
  ok: false,
  fault,
});
