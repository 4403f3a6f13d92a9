/**
 * The frame of every page: head, skip link, masthead with the pages, the place where the script
 * speaks of the network, and the standing advice. No inline script, no inline style, no other host,
 * so that a strict content security policy holds. Props in, HTML out.
 */
import { raw } from 'hono/html';
import type { Child } from 'hono/jsx';
import type { Role } from '../../storage/access.ts';
import { assetPath } from '../assets.ts';
import { houseWords } from '../messages.ts';
import { PostForm } from './form.tsx';
import { wholeMinute } from './moment.tsx';

/** What a page knows of the person in front of it and the cellar they stand in. */
export type Visit = {
  readonly cellar: { readonly cellar: string; readonly title: string };
  readonly role: Role;
};

export type LayoutProps = {
  readonly title: string;
  /** Null before sign-in: there is no cellar to move about in. */
  readonly visit: Visit | null;
  /** Which of the pages this is, for the masthead. */
  readonly here?: 'cellar' | 'alarms' | 'set-up' | 'calculations' | 'sign-in' | undefined;
  /** Alarms that stand in the whole cellar; null where the page was not told. */
  readonly standing?: number | null | undefined;
  /** Address from which the script keeps the page up to date; absent on pages of forms. */
  readonly live?: string | undefined;
  /** Unix seconds of the cellar, from which the script counts ages on. */
  readonly now?: number | undefined;
  /** The chart's script is fetched where there is a chart. */
  readonly chart?: boolean | undefined;
  /** The script is fetched that subscribes this browser to alarms. */
  readonly push?: boolean | undefined;
  readonly children?: Child;
};

const Mark = () => (
  <svg class="mark" viewBox="0 0 32 32" aria-hidden="true" focusable="false">
    <circle cx="16" cy="17.5" r="11.5" class="mark-rim" />
    <path d="M5.6 20.5h20.8a11.5 11.5 0 0 1-20.8 0Z" class="mark-level" />
    <circle cx="16" cy="3" r="2.4" class="mark-ward" />
  </svg>
);

const CalculationsLink = ({ here }: { readonly here: LayoutProps['here'] }) => (
  <li>
    <a href="/calculations" aria-current={here === 'calculations' ? 'page' : undefined}>
      {houseWords.navCalculations}
    </a>
  </li>
);

const Pages = ({
  visit,
  here,
  standing,
}: {
  readonly visit: Visit;
  readonly here: LayoutProps['here'];
  readonly standing: number | null;
}) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const current = (page: LayoutProps['here']) => (page === here ? 'page' : undefined);
  return (
    <nav aria-label={houseWords.nav}>
      <ul class="pages">
        <li>
          <a href={root} aria-current={current('cellar')}>
            {houseWords.navCellar}
          </a>
        </li>
        <li>
          <a href={`${root}/alarms`} aria-current={current('alarms')}>
            {houseWords.navAlarms}
            {standing !== null && standing > 0 ? (
              <span class="standing">{houseWords.standing(standing)}</span>
            ) : null}
          </a>
        </li>
        <li>
          <a href={`${root}/set-up`} aria-current={current('set-up')}>
            {houseWords.navSetUp}
          </a>
        </li>
        <CalculationsLink here={here} />
      </ul>
    </nav>
  );
};

/** Before sign-in there is the door, and what is open to all. */
const OpenPages = ({ here }: { readonly here: LayoutProps['here'] }) => (
  <nav aria-label={houseWords.nav}>
    <ul class="pages">
      <li>
        <a href="/sign-in" aria-current={here === 'sign-in' ? 'page' : undefined}>
          {houseWords.navSignIn}
        </a>
      </li>
      <CalculationsLink here={here} />
    </ul>
  </nav>
);

export const Layout = ({
  title,
  visit,
  here,
  standing = null,
  live,
  now,
  chart = false,
  push = false,
  children,
}: LayoutProps) => (
  <>
    {raw('<!DOCTYPE html>')}
    <html lang="en-GB">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <meta name="referrer" content="same-origin" />
        <title>{`${title} · ${houseWords.name}`}</title>
        <link rel="icon" type="image/svg+xml" href={assetPath['mark.svg']} />
        <link rel="stylesheet" href={assetPath['page.css']} />
        <script type="module" src={assetPath['live.js']}></script>
        {chart ? <script type="module" src={assetPath['chart.js']}></script> : null}
        {push ? <script type="module" src={assetPath['push.js']}></script> : null}
      </head>
      <body>
        <a class="skip" href="#main">
          {houseWords.skip}
        </a>
        <header class="masthead" id="masthead">
          <p class="wordmark">
            <Mark />
            <span>{houseWords.name}</span>
            {visit === null ? null : <span class="cellar-name">{visit.cellar.title}</span>}
          </p>
          {visit === null ? (
            <OpenPages here={here} />
          ) : (
            <Pages visit={visit} here={here} standing={standing} />
          )}
        </header>
        <div id="network" class="network" role="status" data-keep></div>
        <div id="arrivals" class="arrivals" role="alert" data-keep></div>
        <main
          id="main"
          tabindex={-1}
          data-live={live}
          data-now={now === undefined ? undefined : wholeMinute(now)}
        >
          {children}
        </main>
        <footer class="colophon">
          <p>{houseWords.advice}</p>
          <p>
            <a class="far-link" href="/interface">
              {houseWords.interface}
            </a>
          </p>
          {visit === null ? null : (
            <div class="signed-in">
              <p>{houseWords.signedInAs(visit.role)}</p>
              <PostForm action="/sign-out">
                <button class="quiet" type="submit">
                  {houseWords.signOut}
                </button>
              </PostForm>
            </div>
          )}
        </footer>
      </body>
    </html>
  </>
);
