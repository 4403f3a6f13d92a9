/**
 * Every word the page shows, in one place, grouped by what it is about; both the server and the
 * page's own scripts read it. Pure data and pure functions of their arguments: no I/O, no clock.
 * Longer than 250 lines because a translator or an editor of the wording wants one file, not twelve.
 */

import type { Duty } from '../monitoring/alarms/duty.ts';
import type { DutyHours, Weekday } from '../monitoring/alarms/duty-hours.ts';
import type { Drink, Stage } from '../monitoring/batch.ts';
import type { AnyLimitName } from '../monitoring/stages/stage-templates.ts';
import type { ClockName } from '../monitoring/stages/stage-view.ts';
import type { FermentationStatus } from '../monitoring/status.ts';
import type { VesselKind } from '../monitoring/vessel.ts';
import { capital } from '../monitoring/words/sentence.ts';
import type { Channel } from '../science/units/channel.ts';
import type { Role } from '../storage/access.ts';
import type { JournalEntry } from '../storage/journal-entry.ts';

const smallNumbers = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
] as const;

/** Counts up to twelve in words, as running text wants them. */
const countInWords = (count: number): string => smallNumbers[count] ?? String(count);

const plural = (count: number, one: string, many: string): string =>
  `${countInWords(count)} ${count === 1 ? one : many}`;

export const vesselKindWords = {
  'mash-tun': 'mash tun',
  kettle: 'kettle',
  fermenter: 'fermenter',
  'steeping-tank': 'steeping tank',
  barrel: 'barrel',
  'blending-tank': 'blending tank',
  'bright-tank': 'bright tank',
  keg: 'keg',
  room: 'room',
} as const satisfies Record<VesselKind, string>;

export const drinkWords = {
  ale: 'ale',
  lager: 'lager',
  wine: 'wine',
  mead: 'mead',
  cider: 'cider',
  infusion: 'infusion',
  blend: 'blend',
} as const satisfies Record<Drink, string>;

export const stageWords = {
  'mash-rest': 'mash rest',
  boil: 'boil',
  cooling: 'cooling',
  fermentation: 'fermentation',
  conditioning: 'conditioning',
  'cold-steep': 'cold steep',
  ageing: 'ageing',
  blending: 'blending',
  keg: 'in keg',
  workroom: 'workroom air',
} as const satisfies Record<Stage, string>;

export const phaseWords = {
  waiting: 'waiting to start',
  active: 'fermenting',
  finished: 'finished',
  stalled: 'stalled',
} as const satisfies Record<FermentationStatus['phase'], string>;

export const channelWords = {
  temperature: 'Temperature',
  gravity: 'Gravity',
  density: 'Density',
  'gauge-pressure': 'Head pressure, gauge',
  'absolute-pressure': 'Head pressure, absolute',
  'gas-flow': 'Gas leaving',
  ph: 'Acidity',
  'carbon-dioxide': 'Carbon dioxide in the air',
  oxygen: 'Oxygen in the air',
  humidity: 'Humidity',
  mass: 'Mass',
} as const satisfies Record<Channel, string>;

/** What a clock of a stage counts. */
export const clockWords = {
  rest: 'Rest, counted inside its band',
  boil: 'Boil, counted at the boil',
  'heat-up': 'Off the boil',
  cooling: 'Cooling to pitching temperature',
  steep: 'Steep',
  'food-safety': 'Food-safety limit',
  topping: 'Since the last topping',
  testing: 'Since the last sulphur dioxide test',
  age: 'Age',
} as const satisfies Record<ClockName, string>;

export const limitWords = {
  lowCelsius: 'Coldest',
  highCelsius: 'Warmest',
  overshootCelsius: 'Overshoot above',
  restSeconds: 'Rest',
  belowBoilingCelsius: 'Boils within, below the boiling point',
  heightMetre: 'Height above the sea',
  heatUpSeconds: 'To boil within',
  boilSeconds: 'Boil',
  pitchCelsius: 'To pitch at most at',
  withinSeconds: 'To be cool within',
  ventedGaugePressurePascal: 'Vented up to, gauge',
  ventRisePascal: 'Vent blocked above that by',
  lowGaugePressurePascal: 'Lowest head pressure, gauge',
  highGaugePressurePascal: 'Highest head pressure, gauge',
  warmestCelsius: 'Warmest place it may come to',
  gravityFall: 'Moves after the finish by',
  steepSeconds: 'Steep',
  coldSeconds: 'Food safety: kept cold at most',
  warmSeconds: 'Food safety: above 5 °C at most',
  coolStartSeconds: 'Food safety: the same, begun cold and under 21 °C',
  acidPH: 'Acid food up to',
  toppingSeconds: 'Topping every',
  testingSeconds: 'Sulphur dioxide test every',
  leastAgeSeconds: 'Least age',
  targetVolumes: 'Carbonation to reach',
  workingDayPpm: 'Carbon dioxide, mean of 8 h',
  shortTermPpm: 'Carbon dioxide, mean of 15 min',
  dangerousPpm: 'Carbon dioxide, at once',
  oxygenFraction: 'Oxygen, at least',
} as const satisfies Record<AnyLimitName, string>;

export const limitUnitWords = {
  minutes: 'min',
  hours: 'hours',
  days: 'days',
  bar: 'bar',
  points: 'points',
  volumes: 'volumes',
} as const;

export const limitFormWords = {
  title: (batch: string): string => `Limits of ${batch}`,
  lead: 'A blank field keeps the default. Where people could be hurt a limit can be made stricter, never laxer.',
  stage: 'Stage',
  showStage: 'Show this stage',
  ofStage: (stage: string): string => capital(stage),
  label: (limit: string, unit: string): string => `${limit}, ${unit}`,
  bounds: (lowest: string, highest: string): string => `between ${lowest} and ${highest}`,
  default: (value: string, unit: string): string => `Default ${value} ${unit}`,
  notWatched: 'Default: not watched',
  hint: (standard: string, source: string, bounds: string): string =>
    `${standard} (${source}). It can be set ${bounds}.`,
  off: 'Do not watch this',
  save: 'Set these limits',
  back: 'Back to the vessel',
  change: 'Change the limits',
} as const;

export const awayWords = {
  from: 'Gyleward itself was away from',
  to: 'to',
  what: 'Nothing was heard and nobody was called in that time. Readings that were kept elsewhere are taken when they are sent again.',
} as const;

export const stageFactWords = {
  clocks: 'Clocks',
  limits: 'Limits in force',
  notWatched: 'not watched',
  of: (done: string, all: string): string => `${done} of ${all}`,
  runsOut: 'runs out',
  ranOut: 'ran out',
  standsStill: 'stands still',
  from: {
    batch: 'set by the batch',
    vessel: 'set by the vessel',
    default: 'default',
  },
  deed: 'What was done',
  deeds: { topped: 'topped up', tested: 'tested for sulphur dioxide' },
  writeDown: 'Write it down',
} as const;

export const roleWords = {
  sensor: 'sensor: sends readings of the vessels named',
  viewer: 'viewer: sees everything, changes nothing',
  operator: 'operator: acknowledges alarms and moves batches on',
  keeper: 'keeper: all of that, and vessels, keys and receivers',
} as const satisfies Record<Role, string>;

export const roleNames = {
  sensor: 'sensor',
  viewer: 'viewer',
  operator: 'operator',
  keeper: 'keeper',
} as const satisfies Record<Role, string>;

export {
  alarmStateWords,
  alarmTitles as alarmWords,
  priorityNames,
  priorityWords,
  transitionWords,
} from '../monitoring/alarms/alarm-words.ts';

export { happeningTitles as happeningWords } from '../monitoring/alarms/happening-words.ts';

export const houseWords = {
  name: 'Gyleward',
  skip: 'Skip to what matters',
  nav: 'Pages',
  navCellar: 'Cellar',
  navAlarms: 'Alarms',
  navSetUp: 'Set up',
  navCalculations: 'Calculations',
  navSignIn: 'Sign in',
  signOut: 'Sign out',
  interface: 'Interface for programs',
  signedInAs: (role: Role): string => `Signed in as ${roleNames[role]}`,
  standing: (count: number): string => (count === 1 ? '1 standing' : `${count} standing`),
  advice:
    'Gyleward advises. It is no relief valve and no gas detector. The nameplate, the relief device, a certified gas monitor, local codes and licensed practice decide.',
} as const;

export const journalWords = {
  title: 'Journal',
  lead: 'What people did here, the latest first. It is only ever added to. A program reads it as JSON or as a CSV file, under the interface for programs.',
  back: 'Back to the set-up',
  none: 'Nobody has done anything yet.',
  when: 'When',
  what: 'What',
  who: 'Who',
  nobody: 'nobody',
  older: 'Older entries',
  nothing: 'none',
  facts: { before: 'Before', after: 'Set' } as Readonly<Record<string, string>>,
  fact: (name: string): string => `${journalWords.facts[name] ?? capital(name)}:`,
} as const;

export const journalActWords: Readonly<Record<JournalEntry['act'], string>> = {
  'vessel-made': 'Vessel made',
  'vessel-described': 'Vessel described anew',
  'batch-started': 'Batch started',
  'stage-changed': 'Batch moved on',
  'limits-set': 'Limits set',
  'deed-recorded': 'Deed written down',
  'batch-ended': 'Batch ended',
  'sample-taken': 'Sample taken',
  'alarm-acknowledged': 'Alarm acknowledged',
  'alarm-reset': 'Alarm reset',
  'alarm-shelved': 'Alarm shelved',
  'alarm-unshelved': 'Alarm taken off the shelf',
  'alarm-removed-from-service': 'Alarm taken out of service',
  'alarm-returned-to-service': 'Alarm put back into service',
  'key-made': 'Key made',
  'key-revoked': 'Key revoked',
  'receiver-added': 'Receiver added',
  'receiver-removed': 'Receiver removed',
  'receiver-duty-set': 'Duty of a receiver set',
  'receiver-heartbeat-set': 'Heartbeat of a receiver set',
  'receiver-tested': 'Receiver tested',
  'receiver-secret-replaced': 'Signing secret replaced',
  'dead-letters-sent-again': 'News sent again',
  'tries-refused': 'Keys refused that open nothing',
  'kept-days-set': 'Days of full detail set',
  'legal-hold-set': 'Legal hold set',
  'legal-hold-lifted': 'Legal hold lifted',
  'history-filled': 'History filled in',
  'archive-taken': 'Archive taken',
};

export const interfaceWords = {
  title: 'Interface for programs',
  lead: 'Everything that a program may ask of Gyleward, with a line to paste into a shell. Put a key of your cellar into KEY first; the names are those of an invented cellar.',
  document: 'The same as an OpenAPI 3.1 document',
  query: (names: string): string => `In the address it takes: ${names}.`,
  takes: (media: string): string => `It is sent ${media}.`,
  answers: (status: number, words: string): string => `It answers ${status}: ${words}`,
} as const;

export const signInWords = {
  title: 'Sign in',
  lead: 'The watch over this cellar is kept behind a key.',
  key: 'Your key',
  hint: 'The keeper of the cellar gave it to you. It is one long word; paste it whole.',
  submit: 'Sign in',
  refused:
    'This key opens no cellar here: it is mistyped or was revoked. Ask the keeper for another.',
  wait: (seconds: number): string =>
    `Too many keys that open nothing have been tried. Wait ${seconds} s; a key that opens this cellar is let in at once.`,
  sensorKey: 'This key belongs to a sensor: it sends readings and shows no pages.',
} as const;

const needing = (count: number): string =>
  capital(plural(count, 'vessel needs you', 'vessels need you'));

export const cellarWords = {
  summary: (counts: {
    readonly now: number;
    readonly needs: number;
    readonly inHand: number;
  }): string => {
    if (counts.needs > 0 && counts.now === 0) return `${needing(counts.needs)}.`;
    if (counts.needs > 0)
      return counts.now === counts.needs
        ? `${needing(counts.needs)} at once.`
        : `${needing(counts.needs)}, ${countInWords(counts.now)} of them at once.`;
    return counts.inHand > 0
      ? `Nothing waits for you; ${plural(counts.inHand, 'alarm is', 'alarms are')} in hand.`
      : 'Nothing waits for you.';
  },
  asOf: 'As of',
  needs: 'Needs you',
  inHand: 'In hand',
  ready: 'Ready for the next step',
  underWay: 'Under way',
  empty: 'Empty',
  day: (day: number): string => `day\u00a0${day}`,
  noBatch: 'nothing in it',
  noReading: 'no reading yet',
  finished: 'Finished: gravity is still and near its end.',
  firstTitle: 'An empty cellar',
  firstLead: 'Nothing is watched yet. Three steps bring the first vessel under watch.',
  firstSteps: [
    {
      title: 'Describe a vessel',
      text: 'Its size, its headspace and what its nameplate says of pressure.',
    },
    {
      title: 'Make a key for its sensor',
      text: 'A sensor key writes the readings of the vessels it names, and can do nothing else.',
    },
    {
      title: 'Put a batch in it',
      text: 'From then on every reading is judged against what that batch should do.',
    },
  ],
  firstGo: 'Set up the cellar',
  firstViewer: 'Ask the keeper of this cellar to set it up.',
} as const;

/** The words of the one number that matters in a stage. */
export const headlineWords = {
  gravity: 'present gravity',
  pressure: 'head pressure',
  endsNear: (value: string, low: string, high: string): string =>
    `ends near ${value}, between ${low} and ${high}`,
  expectedEnd: (value: string): string => `expected to end at ${value}`,
  way: (percent: string, end: string): string => `${percent} of the way to ${end}`,
  share: (percent: string, rating: string): string => `${percent} of its rating, ${rating}`,
  overRating: (percent: string, rating: string): string =>
    `Over its rating: ${percent} of ${rating}`,
  noRating: 'no rating noted: read the nameplate',
  settles: (pressure: string): string => `settles at ${pressure}`,
  inBand: (low: string, high: string): string => `inside its band, ${low} to ${high}`,
  aboveBand: (by: string, low: string, high: string): string =>
    `${by} above its band, ${low} to ${high}`,
  belowBand: (by: string, low: string, high: string): string =>
    `${by} below its band, ${low} to ${high}`,
  oxygen: (share: string): string => `oxygen ${share}`,
  clock: (done: string, all: string): string => `${done} of ${all}`,
  volumes: (volumes: string): string => `${volumes} volumes of CO2`,
  rose: (by: string, hours: string): string => `up ${by} in ${hours}`,
  fell: (by: string, hours: string): string => `down ${by} in ${hours}`,
  still: (hours: string): string => `still for ${hours}`,
  hours: (hours: number): string => (hours === 1 ? '1 hour' : `${hours} hours`),
} as const;

export const sampleWords = {
  title: 'Samples by hand',
  lead: 'A hydrometer outranks the sensor: it shows how far the sensor reads off.',
  taken: 'Taken so far, newest first',
  when: 'When',
  gravity: 'Gravity at 20 °C, SG',
  reading: 'As read',
  readAt: (gravity: number, celsius: number): string =>
    `${gravity.toFixed(4)} at ${celsius.toFixed(1)} °C`,
  ph: 'pH',
  by: 'By',
  typeReading: 'Hydrometer reads, SG',
  typeTemperature: 'Sample temperature, °C',
  temperatureHint: 'For a hydrometer made for 20 °C; the figure is corrected to that.',
  typePh: 'pH, if measured',
  note: 'Note: smell, taste, look',
  take: 'Keep this sample',
} as const;

export const vesselWords = {
  standing: 'What stands',
  present: 'Where it stands',
  readings: 'Latest readings',
  channel: 'Channel',
  value: 'Value',
  age: 'Read',
  history: 'What happened here',
  noHistory: 'No alarm has been raised on this vessel.',
  when: 'When',
  what: 'What',
  who: 'By',
  process: 'the process',
  cautions: 'Cautions',
  caution: 'Caution',
  why: 'How this is known',
  holds: (volume: string, headspace: string): string =>
    `${volume} whole, ${headspace} of it headspace`,
  rated: (pressure: string): string => `rated ${pressure}`,
  unrated: 'no rating noted',
  relief: (pressure: string): string => `relief set at ${pressure}`,
  gas: 'gas supply connected',
  since: 'since',
  facts: {
    phase: 'Fermentation',
    gravity: 'Present gravity',
    extract: 'Present extract',
    apparent: 'Apparent attenuation',
    real: 'Real attenuation',
    alcohol: 'Alcohol by volume',
    terminal: 'Terminal gravity, expected',
    finish: 'Within half a point of it',
    pressure: 'Head pressure, gauge',
    settles: 'Settles at, closed',
    volumes: 'Carbonation',
    share: 'Share of its rating',
    crossing: 'Reaches its rating',
  },
  noCrossing: 'not expected',
  between: 'between',
  and: 'and',
  band: (low: string, high: string): string => `${low} to ${high}`,
  moveOn: 'Move the batch on',
  stage: 'Stage',
  setStage: 'Set the stage',
  end: 'End the batch',
  endHint: 'The vessel is then empty. Readings and alarms stay on record.',
} as const;

export const alarmCardWords = {
  raised: 'Raised',
  returnedAt: 'back to normal',
  acknowledgedBy: (who: string): string => `Acknowledged by ${who}`,
  acknowledgedByNobody: 'Acknowledged',
  asksAgain: 'If it still stands it asks again',
  shelvedUntil: 'Shelved until',
  setAsideBy: (who: string): string => `By ${who}`,
  setAsideByNobody: 'By design',
  latest: 'Since then',
  checkFirst: 'Check first',
  likelyCauses: 'Likely causes',
  basis: 'What this rests on',
  note: 'Note, if you like',
  noteHint: 'What you saw, what you did.',
  acknowledge: 'Acknowledge',
  acknowledgeThis: (alarm: string, vessel: string): string => `Acknowledge: ${alarm}, ${vessel}`,
  viewer: 'An operator of this cellar can acknowledge it.',
  occurrence: (times: number): string =>
    times === 1 ? 'first time here' : `raised ${times} times here`,
} as const;

/** The forms that act on an alarm; `...This` names what a button does to somebody who only hears it. */
export const alarmActWords = {
  aside: 'Set this alarm aside',
  asideLead:
    'It is then followed in silence. Nobody is told while it is set aside, whatever happens.',
  shelve: 'Shelve it',
  shelveThis: (alarm: string, vessel: string): string => `Shelve it: ${alarm}, ${vessel}`,
  shelveFor: 'For how long',
  shelveHint: 'It comes back by itself when the time is over.',
  hours: (hours: number): string =>
    hours < 48 ? (hours === 1 ? '1 hour' : `${hours} hours`) : `${hours / 24} days`,
  remove: 'Take it out of service',
  removeThis: (alarm: string, vessel: string): string =>
    `Take it out of service: ${alarm}, ${vessel}`,
  reason: 'Why',
  reasonHint: 'It stays out until somebody puts it back, so whoever comes next has to know.',
  unshelve: 'Take it off the shelf',
  unshelveThis: (alarm: string, vessel: string): string =>
    `Take it off the shelf: ${alarm}, ${vessel}`,
  putBack: 'Put it back into service',
  putBackThis: (alarm: string, vessel: string): string =>
    `Put it back into service: ${alarm}, ${vessel}`,
  reset: 'Reset',
  resetThis: (alarm: string, vessel: string): string => `Reset: ${alarm}, ${vessel}`,
  resetLead:
    'The reading is calm again, and that does not prove the place safe. Reset this alarm only after somebody has looked.',
  resetLater: 'Once acknowledged it stays until somebody has looked and resets it.',
} as const;

export const alarmsWords = {
  title: 'Alarms',
  none: 'No alarm stands.',
  some: (count: number): string => `${capital(plural(count, 'alarm stands', 'alarms stand'))}.`,
  standing: 'Standing',
  setAside: 'Set aside',
  history: 'History',
  noHistory: 'Nothing has been raised in this cellar yet.',
  vessel: 'Vessel',
  wholeCellar: 'the whole cellar',
  floodBegan: 'A flood of alarms began',
  floodEnded: 'The flood of alarms is over',
  figures: 'How the alarms do',
} as const;

export const figuresWords = {
  title: 'How the alarms do',
  lead: 'What the standards for alarm systems ask about, counted over the last days. An alarm counts each time it calls somebody.',
  reservation:
    'The reference values are made for one operator who watches a process plant; a cellar should lie far below them. None was read in the standard itself.',
  figure: 'Figure',
  value: 'Here',
  reference: 'The standards are quoted with',
  from: 'from',
  to: 'to',
  above: 'above it',
  noReference: 'no value known to us',
  alarmsPerDay: 'Alarms a day',
  mostInTenMinutes: 'Most alarms in ten minutes',
  shareOfTimeInFlood: 'Share of the time in flood',
  topTenShare: 'Share of the ten most frequent',
  highShare: 'Of high priority',
  mediumShare: 'Of medium priority',
  lowShare: 'Of low priority',
  stale: 'Standing for more than a day',
  chattering: 'Coming and going within hours',
  meanSecondsToAcknowledge: 'Mean time to acknowledge',
  frequent: 'The most frequent',
  times: 'Times',
  share: 'Share',
  since: 'Since',
  back: 'Back to the alarms',
} as const;

export const setUpWords = {
  title: 'Set up',
  lead: 'What the cellar holds, who may see it, and who is told.',
  vessels: 'Vessels',
  noVessels: 'No vessel is described yet.',
  addVessel: 'Describe a vessel',
  vesselHint: 'A vessel described again under the same short name takes the later description.',
  batches: 'Batches',
  noBatches: 'No batch has been started.',
  startBatch: 'Start a batch',
  needVessel: 'Describe a vessel first; a batch has to be in one.',
  ended: 'ended',
  keys: 'Keys',
  addKey: 'Make a key',
  keysLead: 'Each person and each sensor has a key of their own, so that one can be withdrawn.',
  revoke: 'Revoke',
  revokeThis: (title: string): string => `Revoke the key of ${title}`,
  revoked: 'revoked',
  made: 'made',
  used: 'last used',
  neverUsed: 'not used yet',
  expires: 'until',
  expired: 'over since',
  receivers: 'Receivers',
  noReceivers: 'Nobody is told yet: alarms show on these pages only.',
  addReceiver: 'Add a receiver',
  receiversLead:
    'A receiver is an address on the web that is told of every alarm, signed after Standard Webhooks.',
  waiting: (count: number): string => `${count} waiting`,
  givenUp: (count: number): string => `${count} given up`,
  lastTry: (outcome: string): string => `last try: ${outcome}`,
  neverTried: 'nothing sent yet',
  journal: 'Journal: who did what here',
  keeperOnly: 'The keeper of this cellar can change this page.',
  refused: (count: number): string =>
    `${capital(plural(count, 'entry needs', 'entries need'))} another look`,
  secretKey: (title: string): string => `The key of ${title}`,
  secretReceiver: (title: string): string => `The signing secret of ${title}`,
  secretOnce:
    'It is shown this once and kept nowhere in the clear. Copy it before you leave this page.',
  fields: {
    title: 'Name',
    titleHint: 'What people call it.',
    short: 'Short name',
    shortHint: 'Lower-case letters, digits and hyphens. Sensors use it in their readings.',
    batchShortHint: 'Lower-case letters, digits and hyphens, such as harbour-ale-41.',
    kind: 'Kind',
    volume: 'Volume, litres',
    volumeHint: 'Liquid and headspace together.',
    headspace: 'Headspace, litres',
    headspaceHint: 'Gas space above the liquid as filled.',
    rated: 'Rated pressure, bar gauge',
    ratedHint: 'Read it from the nameplate, never from memory. Blank if there is none.',
    relief: 'Relief setting, bar gauge',
    reliefHint: 'Of the relief or spunding valve. Blank if there is none.',
    gas: 'A regulated gas supply is connected',
    low: 'Coldest, °C',
    high: 'Warmest, °C',
    bandHint: 'Blank for no band.',
    vessel: 'Vessel',
    drink: 'Drink',
    original: 'Original gravity, SG',
    terminal: 'Expected terminal gravity, SG',
    terminalHint: 'Your estimate or a forced-ferment test.',
    limit: 'Attenuation limit, %',
    limitHint: 'Apparent, if you know it.',
    carbonation: 'Carbonation, volumes',
    carbonationHint: 'As filled.',
    started: 'Started at',
    startedHint: 'Blank for the present moment. Read as UTC.',
    startedHintLocal: 'Blank for the present moment. In your own time.',
    holder: 'Holder',
    holderHint: 'Who or what has it: Ines, probe in the north fermenter.',
    role: 'May',
    lifetime: 'Opens the cellar for',
    lifetimes: {
      '': 'as long as it is not revoked',
      '1': 'a day',
      '7': 'a week',
      '30': '30 days',
      '90': '90 days',
      '365': 'a year',
    },
    vessels: 'Vessels a sensor may write',
    receiver: 'Name',
    address: 'Address',
    addressHint: 'Begins with https://',
  },
} as const;

export const pushWords = {
  title: 'Alarms on this phone',
  lead: 'This browser can be told of alarms even while no page is open. It asks you first.',
  needsScript: 'This needs a browser with scripts turned on.',
  cannot:
    'This browser cannot be told by push. On an iPhone, add this page to the home screen and open it there.',
  turnOn: 'Tell this browser of alarms',
  turnOff: 'Tell this browser no longer',
  isOn: 'This browser is told of alarms.',
  isOff: 'This browser is not told of alarms.',
  denied: 'You have not allowed notifications. Allow them in the settings of your browser.',
  refused: (status: number): string => `The server answered ${status}.`,
  failed: 'That did not work.',
} as const;

export const acknowledgeWords = {
  title: 'An alarm',
  raised: 'Raised',
  state: (state: string): string => `It is ${state}.`,
  checkFirst: 'Check first',
  hint: 'To acknowledge says that you have seen it and see to it. The link works once.',
  button: 'Acknowledge',
  nothingToDo: 'There is nothing to acknowledge any more.',
  done: 'Acknowledged',
  doneWords: (alarm: string): string =>
    `${alarm}. Whoever else was told of it hears that you have seen it.`,
} as const;

export const relayWords = {
  add: 'Add an email relay',
  lead: 'Sends each message as a request to a mail service of your choice, by a template of that request. In the body, {{headline}}, {{text}}, {{vessel}}, {{priority}}, {{cellar}}, {{link}} and {{id}} are filled in.',
  method: 'Method',
  contentType: 'Content type of the body',
  authorization: 'Authorization header',
  authorizationHint: 'As your mail service asks for it. It is kept here and shown to nobody.',
  body: 'Body',
  sample:
    '{"from":"cellar@example.org","to":["you@example.org"],"subject":"{{headline}}","text":"{{text}}"}',
} as const;

export const receiverWords = {
  back: 'Back to set up',
  state: 'How the telling goes',
  address: 'Address',
  added: 'Added',
  lastTry: 'Last try',
  neverTried: 'nothing sent yet',
  waiting: 'Waiting',
  waitingLead: 'What waits is tried again for three days, under the same id.',
  test: 'Send a test',
  testHint: 'Sends one message that says it is a test. See that it arrives where people look.',
  testSent: 'A test is on its way. Open this page again in a moment to see what came of it.',
  heartbeat: 'Heartbeat',
  heartbeatLead:
    'A message at an interval that says that Gyleward is up. Something at the other end has to notice when it stays away: that is how a dead Gyleward is found.',
  heartbeatEvery: 'How often',
  noHeartbeat: 'Never',
  everyMinutes: (minutes: number): string =>
    minutes % 60 === 0
      ? `Every ${minutes === 60 ? 'hour' : `${minutes / 60} hours`}`
      : `Every ${minutes} minutes`,
  save: 'Save',
  secret: 'Signing secret',
  secretLead:
    'Every message is signed after Standard Webhooks. With a new secret the former one signs as well for 24 hours, so that the other side can be changed over in peace.',
  formerUntil: 'The former secret signs as well until',
  replaceSecret: 'Make a new secret',
  deadLetters: 'Given up',
  noDeadLetters: 'Nothing was given up.',
  deadLettersLead:
    'What could not be delivered for three days. It stays here until it is sent again.',
  told: 'told',
  givenUp: 'given up',
  why: 'last try',
  again: 'Send again',
  againThis: (headline: string): string => `Send again: ${headline}`,
  againAll: 'Send all again',
  notWritten: 'not written down',
  tries: (count: number): string => plural(count, 'try', 'tries'),
  remove: 'Remove this receiver',
  removeHint: 'Nothing more is sent to it, and what waits for it is dropped.',
} as const;

const listWords = (items: readonly string[]): string =>
  items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;

const dayWords = {
  monday: 'Monday',
  tuesday: 'Tuesday',
  wednesday: 'Wednesday',
  thursday: 'Thursday',
  friday: 'Friday',
  saturday: 'Saturday',
  sunday: 'Sunday',
} as const satisfies Record<Weekday, string>;

const hoursInWords = (hours: DutyHours | null): string =>
  hours === null
    ? 'by day and by night'
    : `from ${hours.from} to ${hours.to} (${hours.zone})` +
      (hours.days.length === 7
        ? ' every day'
        : ` on ${listWords(hours.days.map((day) => dayWords[day]))}`);

export const dutyWords = {
  title: 'Whom it wakes, and when',
  change: 'Change this',
  save: 'Save',
  inWords: ({ priorities, hours, afterMinutes }: Duty, vessels: readonly string[]): string =>
    `It is told of ${listWords(priorities)} alarms ` +
    `${vessels.length === 0 ? 'of all vessels' : `of ${listWords(vessels)}`}, ${hoursInWords(hours)}, ` +
    (afterMinutes === 0
      ? 'at once.'
      : `once nobody has acknowledged one of high or medium priority for ${afterMinutes} min.`),
  priorities: 'Alarms of which priority',
  priority: {
    high: 'High: act at once',
    medium: 'Medium: see to it today',
    low: 'Low, and what merely happened',
  },
  after: 'Only if nobody has acknowledged it, after minutes',
  afterHint:
    'Blank: at once. With minutes it is the second in line: told of high and medium alarms that nobody has answered.',
  vessels: 'Of which vessels',
  vesselsHint: 'None ticked: all of them, also those that are added later.',
  from: 'From',
  fromHint: 'Such as 08:00. Blank, with the next one: day and night.',
  to: 'To',
  toHint: 'Such as 18:00. Earlier than the beginning: until the next morning.',
  zone: 'Time zone',
  zoneHint: 'Such as Europe/London. Needed where there are hours or days.',
  days: 'On which days',
  daysHint:
    'Outside its hours it is told nothing. When they begin, it is told of what still waits for an answer.',
  day: dayWords,
} as const;

export const errorWords = {
  back: 'Back to the cellar',
  statusLine: (status: number): string => `Answer ${status}`,
} as const;

export const chartWords = {
  title: 'The course so far',
  loading: 'Drawing the readings.',
  noScript: 'The chart is drawn by a script, which is off. The latest readings are listed below.',
  none: 'No readings in this span yet.',
  failed: 'The readings could not be fetched. The next refresh tries again.',
  spans: { all: 'From the start', week: '7 days', day: '24 hours' },
  span: 'Span shown',
  gravity: 'Gravity, SG',
  table: 'The same as a table',
  time: 'Time',
  expected: 'Expected',
  marks: 'Marks',
  rated: (value: string): string => `rated ${value}`,
  relief: (value: string): string => `relief ${value}`,
  warmest: (value: string): string => `warmest ${value}`,
  coldest: (value: string): string => `coldest ${value}`,
  expectedEnd: (value: string): string => `expected end ${value}`,
  present: 'this moment',
  curveKey: 'fitted curve and forecast, with the band that holds nine times in ten',
  readingKey: 'readings, lowest to highest in each step',
  summary: (channel: string, first: string, last: string, low: string, high: string): string =>
    `${channel}: ${first} at the start, ${last} at the end, between ${low} and ${high}.`,
  touch:
    'Touch or point at the chart to read a moment. A mouse drawn sideways enlarges a span; a double click or a span button shows it whole.',
} as const;

export const liveWords = {
  gone: 'No answer from Gyleward since',
  goneTail: 'What you see is from then, and alarms may be missing. It keeps trying.',
  back: 'The connection is back.',
  seen: 'Seen',
  signedOut: 'You are signed out, and what you see is not kept up.',
  signIn: 'Sign in again',
  arrived: (titles: readonly string[]): string =>
    `${titles.length === 1 ? 'An alarm was raised' : `${titles.length} alarms were raised`}: ${titles.join('; ')}.`,
  heldNote: 'This has left the page. Your unsent note is kept here until you clear it.',
} as const;

export const ageWords = {
  future: 'ahead of the clock',
  now: 'under a minute ago',
  minutes: (count: number): string => `${count}\u00a0min ago`,
  hours: (count: number): string => `${count}\u00a0h ago`,
  days: (count: number): string => (count === 1 ? '1\u00a0day ago' : `${count}\u00a0days ago`),
} as const;

/** The calculations' own labels stand with each of them, in calculations/. */
export const calculationWords = {
  title: 'Calculations',
  lead: 'Each figure comes with the formula it rests on. Nothing you type is stored.',
  all: 'All calculations',
  answer: 'Answer',
  refused: (count: number): string =>
    `${capital(plural(count, 'entry needs', 'entries need'))} another look`,
  waiting: 'Fill in what you know and work it out.',
  example: 'Fill in an example',
  clear: 'Clear the form',
  workOut: 'Work it out',
  seldom: 'More that was measured',
  openFigure: 'Open a figure to see what it rests on.',
  source: 'What this rests on',
  blankFor: (value: string): string => `Blank for ${value}.`,
  /** Names units that this form takes as well as its own. */
  units: (examples: readonly string[]): string =>
    `Another unit may be written after a number: ${examples.join(', ')}.`,
  unitExamples: {
    pressure: '30 psi',
    temperature: '65 °F',
    volume: '2 hL',
    gravity: '12 °P',
    mass: '20 lb',
    carbonation: '5 g/L',
    density: '1.046 g/mL',
    'gas-flow': '4 L/min',
  },
  programs: 'For programs',
  programsLead: 'The same over HTTP, without a key, in the units that the names of its fields say.',
  description: 'Its schema, figures and sources',
} as const;

export const typedWords = {
  row: (each: string, row: number): string => `${each} ${row + 1}`,
  missing: (label: string, unit: string): string =>
    `${label} is missing; type a number${unit === '' ? '' : `, in ${unit}`}`,
  missingName: (label: string): string => `${label} is missing; type a name`,
  noNumber: (label: string, text: string): string =>
    `${label} is \u201c${text.slice(0, 40)}\u201d, which is no number; type one`,
  noUnit: (label: string, unit: string, units: readonly string[]): string =>
    `${label} carries \u201c${unit.slice(0, 40)}\u201d, which is no unit of it; use ${units.filter((one) => one !== '').join(', ') || 'none'}`,
  tooFew: (label: string, each: string, least: number): string =>
    `${label}: too few are filled in; give at least ${countInWords(least)}, from ${each} 1 on`,
} as const;
