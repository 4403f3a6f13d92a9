/**
 * A moment or an age in a `<time>` element. The server writes UTC; the page's script rewrites the text
 * in the reader's own time zone and keeps ages growing, also while the network is gone.
 */
import { ageText } from './age.ts';

/** `2026-11-25T09:22:00Z` for a machine. */
const isoText = (timeSeconds: number): string =>
  `${new Date(Math.floor(timeSeconds) * 1000).toISOString().slice(0, 19)}Z`;

/** `2026-11-25 09:22 UTC` for a reader whose browser runs no script. */
const utcText = (timeSeconds: number): string =>
  `${isoText(timeSeconds).slice(0, 16).replace('T', ' ')} UTC`;

/** A page's own time is told in whole minutes, so that an unchanged page keeps its ETag for one. */
export const wholeMinute = (timeSeconds: number): number => Math.floor(timeSeconds / 60) * 60;

export const Moment = ({ at }: { readonly at: number }) => (
  <time datetime={isoText(at)} data-show="moment">
    {utcText(at)}
  </time>
);

export const Age = ({ at, now }: { readonly at: number; readonly now: number }) => (
  <time datetime={isoText(at)} data-show="age">
    {ageText(now - at)}
  </time>
);
