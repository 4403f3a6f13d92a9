/** The routes that are pages for people: what answers HTML, and who may open it when signed in. */
import type { Role } from '../../src/storage/access.ts';

export type PageRoute = {
  readonly method: 'get' | 'post';
  readonly path: string;
  readonly who: 'anyone' | readonly Exclude<Role, 'sensor'>[];
};

const signedIn = ['viewer', 'operator', 'keeper'] as const;
const workers = ['operator', 'keeper'] as const;
const keepers = ['keeper'] as const;
const cellar = '/cellars/:cellar';

export const pageRoutes: readonly PageRoute[] = [
  { method: 'get', path: '/assets/:name', who: 'anyone' },
  { method: 'get', path: '/', who: 'anyone' },
  { method: 'get', path: '/sign-in', who: 'anyone' },
  { method: 'post', path: '/sign-in', who: 'anyone' },
  { method: 'post', path: '/sign-out', who: 'anyone' },
  { method: 'get', path: '/interface', who: 'anyone' },
  { method: 'get', path: '/calculations', who: 'anyone' },
  { method: 'get', path: '/calculations/:name', who: 'anyone' },
  { method: 'get', path: cellar, who: signedIn },
  { method: 'get', path: `${cellar}/alarms`, who: signedIn },
  { method: 'get', path: `${cellar}/alarms/figures`, who: signedIn },
  { method: 'get', path: `${cellar}/vessels/:vessel`, who: signedIn },
  { method: 'get', path: `${cellar}/vessels/:vessel/chart.json`, who: signedIn },
  { method: 'get', path: `${cellar}/set-up`, who: signedIn },
  { method: 'post', path: `${cellar}/vessels/:vessel/alarms/:alarm/:act`, who: workers },
  { method: 'post', path: `${cellar}/vessels/:vessel/samples`, who: workers },
  { method: 'post', path: `${cellar}/batches/:batch/stage`, who: workers },
  { method: 'post', path: `${cellar}/batches/:batch/deeds`, who: workers },
  { method: 'post', path: `${cellar}/batches/:batch/end`, who: workers },
  { method: 'get', path: `${cellar}/batches/:batch/limits`, who: workers },
  { method: 'post', path: `${cellar}/batches/:batch/limits`, who: workers },
  { method: 'post', path: `${cellar}/batches`, who: workers },
  { method: 'get', path: `${cellar}/journal`, who: keepers },
  { method: 'post', path: `${cellar}/vessels`, who: keepers },
  { method: 'post', path: `${cellar}/keys`, who: keepers },
  { method: 'post', path: `${cellar}/keys/:key/revoke`, who: keepers },
  { method: 'post', path: `${cellar}/receivers`, who: keepers },
  { method: 'get', path: `${cellar}/receivers/:receiver`, who: keepers },
  { method: 'get', path: '/push-worker.js', who: 'anyone' },
  { method: 'get', path: '/acknowledge/:link', who: 'anyone' },
  { method: 'post', path: '/acknowledge/:link', who: 'anyone' },
  { method: 'post', path: `${cellar}/push-subscriptions`, who: signedIn },
  { method: 'post', path: `${cellar}/push-subscriptions/remove`, who: signedIn },
  { method: 'post', path: `${cellar}/receivers/:receiver/duty`, who: keepers },
  { method: 'post', path: `${cellar}/receivers/:receiver/heartbeat`, who: keepers },
  { method: 'post', path: `${cellar}/receivers/:receiver/test`, who: keepers },
  { method: 'post', path: `${cellar}/receivers/:receiver/secret`, who: keepers },
  { method: 'post', path: `${cellar}/receivers/:receiver/dead-letters/resend`, who: keepers },
  { method: 'post', path: `${cellar}/receivers/:receiver/delete`, who: keepers },
];
