/**
 * The service worker: shows what a push brings, and opens its page at a tap. It keeps nothing and answers no
 * request of the page's, so that a page is never older than the server's.
 */

type Pushed = {
  readonly title: string;
  readonly body: string;
  readonly open: string;
  readonly tag: string;
};

type Extendable = Event & { waitUntil(work: Promise<unknown>): void };
type PushArrival = Extendable & { readonly data: { json(): unknown } | null };
type Tap = Extendable & { readonly notification: Notification };
type Page = { readonly url: string; focus(): Promise<unknown> };
type Scope = {
  readonly registration: {
    showNotification(title: string, options: NotificationOptions): Promise<void>;
  };
  readonly clients: {
    matchAll(options: object): Promise<readonly Page[]>;
    openWindow(url: string): Promise<unknown>;
  };
  readonly location: Location;
  skipWaiting(): Promise<void>;
  addEventListener(kind: string, listener: (event: never) => void): void;
};

const scope = globalThis as unknown as Scope;

scope.addEventListener('install', () => void scope.skipWaiting());

scope.addEventListener('push', (event: PushArrival) => {
  if (event.data === null) return;
  const { title, body, open, tag } = event.data.json() as Pushed;
  // What is newer of one alarm takes the place of what was shown of it, and rings again.
  const options = { body, tag, data: { open }, renotify: true, requireInteraction: true };
  event.waitUntil(scope.registration.showNotification(title, options));
});

const show = async (open: string): Promise<void> => {
  const url = new URL(open, scope.location.origin).href;
  const pages = await scope.clients.matchAll({ type: 'window' });
  const here = pages.find((page) => page.url === url);
  await (here === undefined ? scope.clients.openWindow(url) : here.focus());
};

scope.addEventListener('notificationclick', (event: Tap) => {
  event.notification.close();
  const { open } = event.notification.data as { open: string };
  event.waitUntil(show(open));
});
