/** What a vessel's page says of its stage: the clocks, the limits and the form that writes a deed down. */
import { expect, test } from 'vitest';
import { stages } from '../../src/monitoring/batch.ts';
import { limitsInForce } from '../../src/monitoring/stages/limits.ts';
import { limitWords } from '../../src/web/messages.ts';
import { headline } from '../../src/web/pages/headline.ts';
import { MoveOn } from '../../src/web/pages/move-on.tsx';
import { StageFacts } from '../../src/web/pages/stage-facts.tsx';
import {
  now,
  sampleBatch,
  sampleReading,
  sampleStatus,
  sampleVessel,
  visit,
} from './page-samples.ts';

const vessel = sampleVessel({ temperatureBand: null });

test('every limit of every stage is said in words, with its unit and where it comes from', () => {
  let said = 0;
  for (const stage of stages) {
    const batch = sampleBatch({ stage });
    const limits = limitsInForce({ vessel, batch });
    const page = String(StageFacts({ status: sampleStatus({ stage, limits }), now, change: null }));
    for (const { limit } of limits) {
      expect(page, `${stage} ${limit}`).toContain(`<dt>${limitWords[limit]}</dt>`);
      said += 1;
    }
  }
  expect(said).toBeGreaterThan(40);
});

test('values read as the trade reads them, and a limit of the batch says so', () => {
  const batch = sampleBatch({
    stage: 'cold-steep',
    limits: { 'cold-steep': { steepSeconds: 54_000, lowCelsius: null, highCelsius: null } },
  });
  const limits = limitsInForce({ vessel, batch });
  const page = String(StageFacts({ status: sampleStatus({ limits }), now, change: null }));
  expect(page).toContain('15 h<span class="bounds">set by the batch</span>');
  expect(page).toContain('not watched');
  expect(page).toMatch(
    /4 h<span class="bounds">4 h without temperature control: FDA Food Code 2009/,
  );
  expect(page).toContain('4.6\u00a0pH');
});

test('a clock says how far it has run and when it runs out, or that it stands still', () => {
  const clock = { clock: 'rest', doneSeconds: 1200, ofSeconds: 3600 } as const;
  const shown = (dueAt: number | null): string =>
    String(
      StageFacts({ status: sampleStatus({ clocks: [{ ...clock, dueAt }] }), now, change: null }),
    );
  expect(shown(now + 2400)).toMatch(/20 min of 60 min.*runs out <time datetime=/s);
  expect(shown(now - 60)).toContain('ran out');
  expect(shown(null)).toContain('stands still');
});

test('the step that somebody waits for stands beside the temperature', () => {
  const status = sampleStatus({
    stage: 'mash-rest',
    latest: { temperature: sampleReading(65.2, 'Cel') },
    clocks: [{ clock: 'rest', doneSeconds: 1200, ofSeconds: 3600, dueAt: now + 2400 }],
  });
  const found = headline({ vessel, batch: sampleBatch({ stage: 'mash-rest' }), status });
  expect(found?.beside[0]).toBe('20 min of 60 min');
  expect(found?.beside[1]).toMatch(/inside its band/);
});

test('only a batch that ages has deeds to write down', () => {
  const page = (stage: 'ageing' | 'keg') =>
    String(MoveOn({ batch: sampleBatch({ stage }), visit }));
  expect(page('ageing')).toContain('/batches/harvest-wheat-31/deeds');
  expect(page('ageing')).toContain('tested for sulphur dioxide');
  expect(page('keg')).not.toContain('/deeds');
});
