/**
 * Alarms on this phone: subscribes this browser at a tap, never unasked, and takes it back. The section
 * says in words how things stand; without scripts it says that it needs them.
 */
import { pushWords as words } from '../messages.ts';

const section = document.getElementById('push');
const state = document.getElementById('push-state');
const on = document.getElementById('push-on');
const off = document.getElementById('push-off');

const say = (text: string): void => {
  if (state !== null) state.textContent = text;
};

const offer = (subscribed: boolean): void => {
  on?.toggleAttribute('hidden', subscribed);
  off?.toggleAttribute('hidden', !subscribed);
};

const keyBytes = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (character) =>
    character.charCodeAt(0),
  );

const post = async (path: string, body: unknown): Promise<void> => {
  const answer = await fetch(`${section?.dataset.root ?? ''}/push-subscriptions${path}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(words.refused(answer.status));
};

const subscribe = async (registration: ServiceWorkerRegistration): Promise<void> => {
  if ((await Notification.requestPermission()) !== 'granted') {
    say(words.denied);
    return;
  }
  const subscription = await registration.pushManager.subscribe({
    userVisibleOnly: true,
    applicationServerKey: keyBytes(section?.dataset.key ?? ''),
  });
  const { endpoint, keys } = subscription.toJSON();
  await post('', { endpoint, keys });
  offer(true);
  say(words.isOn);
};

const unsubscribe = async (registration: ServiceWorkerRegistration): Promise<void> => {
  const subscription = await registration.pushManager.getSubscription();
  if (subscription !== null) {
    await post('/remove', { endpoint: subscription.endpoint });
    await subscription.unsubscribe();
  }
  offer(false);
  say(words.isOff);
};

const failed = (error: unknown): void =>
  say(`${words.failed} ${error instanceof Error ? error.message : String(error)}`);

const begin = async (): Promise<void> => {
  if (!('serviceWorker' in navigator && 'PushManager' in globalThis)) {
    say(words.cannot);
    return;
  }
  const registration = await navigator.serviceWorker.register('/push-worker.js');
  const subscribed = (await registration.pushManager.getSubscription()) !== null;
  offer(subscribed);
  say(subscribed ? words.isOn : words.isOff);
  on?.addEventListener('click', () => void subscribe(registration).catch(failed));
  off?.addEventListener('click', () => void unsubscribe(registration).catch(failed));
};

if (section !== null) void begin().catch(failed);
