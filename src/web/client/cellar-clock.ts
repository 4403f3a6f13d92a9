/**
 * The cellar's time as the page was last told it, carried on by the browser's own ticking: a phone
 * whose clock is wrong still shows true ages. Whole minutes are told, so it may lag by less than one.
 */
const main = document.querySelector('main');

/** Called when a page has come from the server; `now` is Unix seconds as the page printed it. */
export const hearCellarTime = (now: string | undefined): void => {
  if (main === null || now === undefined) return;
  main.dataset.now = now;
  main.dataset.heard = String(Date.now());
};

if (main?.dataset.heard === undefined) hearCellarTime(main?.dataset.now);

/** Milliseconds since 1970; the browser's own time where the page told none. */
export const cellarMilliseconds = (): number => {
  const told = Number(main?.dataset.now);
  const heard = Number(main?.dataset.heard);
  return Number.isFinite(told) && Number.isFinite(heard)
    ? told * 1000 + (Date.now() - heard)
    : Date.now();
};
