/** Vessels, batches, alarms and statuses of the invented Skerrow Yard, as small as a page test needs. */
import type { Alarm } from '../../src/monitoring/alarms/alarm.ts';
import type { Batch } from '../../src/monitoring/batch.ts';
import type { LatestReading, Status } from '../../src/monitoring/status.ts';
import type { Vessel } from '../../src/monitoring/vessel.ts';
import type { ChartData } from '../../src/web/chart-data.ts';
import type { Visit } from '../../src/web/pages/layout.tsx';

/** Unix seconds; a whole minute. */
export const now = 1_795_000_020;

export const visit = {
  cellar: { cellar: 'skerrow', title: 'Skerrow Yard' },
  role: 'keeper',
} as const satisfies Visit;

export const sampleVessel = (change: Partial<Vessel> = {}): Vessel => ({
  vessel: 'north',
  title: 'North fermenter',
  kind: 'fermenter',
  volumeLitre: 600,
  headspaceLitre: 90,
  ratedGaugePressurePascal: 100_000,
  reliefGaugePressurePascal: 80_000,
  gasConnected: false,
  temperatureBand: { lowCelsius: 17, highCelsius: 22 },
  ...change,
});

export const sampleBatch = (change: Partial<Batch> = {}): Batch => ({
  batch: 'harvest-wheat-31',
  title: 'Harvest wheat',
  drink: 'ale',
  stage: 'fermentation',
  startedAt: now - 3 * 86_400,
  endedAt: null,
  originalGravity: 1.049,
  expectedTerminalGravity: 1.011,
  attenuationLimit: null,
  temperatureBand: null,
  carbonationVolumes: null,
  ...change,
});

export const sampleReading = (value: number, unit: string, ageSeconds = 240): LatestReading => ({
  value,
  unit,
  time: now - ageSeconds,
  ageSeconds,
});

export const sampleAlarm = (change: Partial<Alarm> = {}): Alarm => ({
  alarm: 'stall',
  kind: 'stall',
  channel: 'gravity',
  batch: 'harvest-wheat-31',
  priority: 'medium',
  state: 'unacknowledged',
  occurrence: 1,
  raisedAt: now - 7200,
  returnedAt: null,
  acknowledgedAt: null,
  acknowledgedBy: null,
  note: null,
  reAlarmAt: null,
  shelvedUntil: null,
  setAside: null,
  chattering: false,
  evidence: 'fell 0.3 points in 36 h where the curve expects 4.1',
  latest: null,
  likelyCauses: ['pitched too cold'],
  checkFirst: ['take a hydrometer sample'],
  caution: null,
  source: null,
  ...change,
});

export const sampleStatus = (change: Partial<Status> = {}): Status => ({
  stage: 'fermentation',
  latest: { gravity: sampleReading(1.0192, '/'), temperature: sampleReading(19.6, 'Cel') },
  fermentation: null,
  pressure: null,
  alarms: [],
  setAside: [],
  limits: [],
  clocks: [],
  cautions: [],
  ...change,
});

export const sampleChart = (change: Partial<ChartData> = {}): ChartData => {
  const times = Array.from({ length: 144 }, (_, index) => now - (144 - index) * 1800);
  const fall = times.map((_, index) => 1.049 - index * 0.0002);
  const warmth = times.map((_, index) => 19 + Math.sin(index / 12));
  return {
    times,
    series: {
      gravity: {
        low: fall.map((value) => value - 0.0004),
        high: fall.map((value) => value + 0.0004),
      },
      temperature: { low: warmth, high: warmth },
    },
    curve: {
      times: [...times, now + 43_200],
      value: [...fall, 1.015],
      low: [...fall.map((value) => value - 0.001), 1.012],
      high: [...fall.map((value) => value + 0.001), 1.018],
    },
    limits: {
      ratedGaugePressurePascal: 100_000,
      reliefGaugePressurePascal: null,
      temperatureBand: { lowCelsius: 17, highCelsius: 22 },
      expectedTerminalGravity: 1.011,
    },
    marks: [
      {
        at: now - 86_400,
        words: 'it is 23.1 °C where the band ends at 22.0 °C',
        kind: 'temperature',
      },
    ],
    ...change,
  };
};
