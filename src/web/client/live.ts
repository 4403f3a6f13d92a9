/**
 * Keeps a page up to date: asks its own address every twenty seconds with the last ETag, and brings
 * the page to what came back without losing typed text. Says so when the network is gone, when the
 * person has been signed out, and when an alarm arrives. Pages without `data-live` only get local times.
 */
import { liveWords } from '../messages.ts';
import { cellarMilliseconds, hearCellarTime } from './cellar-clock.ts';
import { freshEvent } from './fresh-event.ts';
import { localiseForms } from './local-form.ts';
import { localise, localMoment } from './local-time.ts';
import { made } from './made.ts';
import { morph } from './morph.ts';

/** Chosen by us: a third of the usual minute between readings. Longer, and an alarm shows later. */
const pollMilliseconds = 20_000;
/** An answer that takes longer counts as none; chosen by us. */
const patienceMilliseconds = 15_000;

const main = document.querySelector('main');
const network = document.getElementById('network');
const arrivals = document.getElementById('arrivals');

let etag: string | null = null;
let lastAnswer = cellarMilliseconds();
let gone = false;
let asking = false;

const say = (place: HTMLElement | null, ...content: readonly (string | Node)[]): void =>
  place?.replaceChildren(...content);

const sayGone = (): void => {
  if (gone) return;
  gone = true;
  say(network, `${liveWords.gone} ${localMoment(lastAnswer)}. ${liveWords.goneTail}`);
  document.documentElement.setAttribute('data-network', 'gone');
};

const saySignedOut = (): void => {
  gone = true;
  const link = document.createElement('a');
  link.href = '/sign-in';
  link.textContent = liveWords.signIn;
  say(network, `${liveWords.signedOut} `, link);
  document.documentElement.setAttribute('data-network', 'gone');
};

const sayBack = (): void => {
  lastAnswer = cellarMilliseconds();
  if (!gone) return;
  gone = false;
  say(network, liveWords.back);
  document.documentElement.removeAttribute('data-network');
};

const announce = (titles: readonly string[]): void => {
  const seen = made('button', '', liveWords.seen);
  seen.setAttribute('type', 'button');
  seen.addEventListener('click', () => say(arrivals));
  say(arrivals, made('p', '', liveWords.arrived(titles)), seen);
};

/** Titles of alarms nobody has answered, by a key that survives a refresh. */
const unanswered = (root: ParentNode): ReadonlyMap<string, string> =>
  new Map(
    [...root.querySelectorAll<HTMLElement>('[data-unanswered]')].map((element) => [
      element.dataset.unanswered ?? '',
      element.dataset.words ?? '',
    ]),
  );

const takeIn = (html: string): void => {
  const fresh = new DOMParser().parseFromString(html, 'text/html');
  const freshMain = fresh.querySelector('main');
  if (main === null || freshMain === null) return;
  hearCellarTime(freshMain.dataset.now);
  const before = unanswered(main);
  morph(main, freshMain);
  const masthead = document.getElementById('masthead');
  const freshMasthead = fresh.getElementById('masthead');
  if (masthead !== null && freshMasthead !== null) morph(masthead, freshMasthead);
  document.title = fresh.title;
  localise(document);
  const arrived = [...unanswered(main)]
    .filter(([key]) => !before.has(key))
    .map(([, words]) => words);
  if (arrived.length > 0) announce(arrived);
  document.dispatchEvent(new Event(freshEvent));
};

const ask = async (address: string): Promise<void> => {
  if (asking || document.hidden) return;
  asking = true;
  try {
    const answer = await fetch(address, {
      headers: { accept: 'text/html', ...(etag === null ? {} : { 'if-none-match': etag }) },
      cache: 'no-store',
      signal: AbortSignal.timeout(patienceMilliseconds),
    });
    if (answer.status === 401 || answer.status === 403 || answer.redirected) return saySignedOut();
    if (answer.status !== 304 && !answer.ok) return sayGone();
    if (answer.status !== 304) {
      const html = await answer.text();
      etag = answer.headers.get('etag');
      takeIn(html);
    }
    sayBack();
  } catch {
    sayGone();
  } finally {
    asking = false;
  }
};

localise(document);
localiseForms(document);
const address = main?.dataset.live;
if (address !== undefined) {
  const again = (): void => {
    localise(document);
    void ask(address);
  };
  setInterval(again, pollMilliseconds);
  document.addEventListener('visibilitychange', again);
  addEventListener('online', again);
  addEventListener('offline', sayGone);
}
