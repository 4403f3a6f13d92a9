/**
 * Which limits are in force in a vessel and where each comes from: the batch's own, else the band that the batch
 * or its vessel names, else the drink's or the stage's default. Pure: no I/O, no clock.
 */
import type { Batch, Stage } from '../batch.ts';
import type { TemperatureBand } from '../vessel.ts';
import type { Watched } from '../watched.ts';
import {
  type AnyLimitName,
  type LimitName,
  type LimitTemplate,
  stageTemplates,
} from './stage-templates.ts';

/** What a batch sets of its own: null switches a limit off. */
export type OwnLimits = {
  readonly [S in Stage]?: Readonly<Partial<Record<LimitName<S>, number | null>>>;
};

export type LimitInForce = {
  readonly limit: AnyLimitName;
  readonly value: number | null;
  readonly unit: LimitTemplate['unit'];
  /** batch, vessel: named there; default: of the stage, or of the drink in that stage. */
  readonly from: 'batch' | 'vessel' | 'default';
  /** Who says so, where it is a default. */
  readonly source: string;
};

/** The stage that the vessel is in; a room is always a workroom. */
export const stageIn = ({ vessel, batch }: Watched): Stage | null =>
  batch?.stage ?? (vessel.kind === 'room' ? 'workroom' : null);

const templatesOf = (stage: Stage): Readonly<Record<string, LimitTemplate>> =>
  stageTemplates[stage];

const ownOf = (batch: Batch | null, stage: Stage, name: string): number | null | undefined =>
  (batch?.limits?.[stage] as Readonly<Record<string, number | null>> | undefined)?.[name];

const resolve = (
  { vessel, batch }: Watched,
  stage: Stage,
  name: string,
  template: LimitTemplate,
): LimitInForce => {
  const said = (value: number | null, from: LimitInForce['from']): LimitInForce => ({
    limit: name as AnyLimitName,
    value,
    unit: template.unit,
    from,
    source: template.source,
  });
  const own = ownOf(batch, stage, name);
  if (own !== undefined) return said(own, 'batch');
  const end = template.follows === 'band-low' ? 'lowCelsius' : 'highCelsius';
  if (template.follows !== undefined) {
    if (batch?.temperatureBand) return said(batch.temperatureBand[end], 'batch');
    if (vessel.temperatureBand) return said(vessel.temperatureBand[end], 'vessel');
  }
  const byDrink = batch === null ? undefined : template.byDrink?.[batch.drink];
  return said(byDrink === undefined ? template.value : byDrink, 'default');
};

/** Every limit of the present stage; none where the vessel is in no stage. */
export const limitsInForce = (watched: Watched): readonly LimitInForce[] => {
  const stage = stageIn(watched);
  return stage === null
    ? []
    : Object.entries(templatesOf(stage)).map(([name, template]) =>
        resolve(watched, stage, name, template),
      );
};

/** One limit of a stage; null where it is not watched. */
export const limitOf = <S extends Stage>(
  watched: Watched,
  stage: S,
  name: LimitName<S>,
): number | null => {
  const template = templatesOf(stage)[name];
  return template === undefined ? null : resolve(watched, stage, name, template).value;
};

/** The temperature band in force; null where there is none, as in a boil, which has limits of its own. */
export const bandInForce = (watched: Watched): TemperatureBand | null => {
  const stage = stageIn(watched);
  if (stage === null) return watched.vessel.temperatureBand;
  const [low, high] = ['lowCelsius', 'highCelsius'].map((name) => {
    const template = templatesOf(stage)[name];
    return template === undefined ? null : resolve(watched, stage, name, template).value;
  });
  return typeof low === 'number' && typeof high === 'number' && low < high
    ? { lowCelsius: low, highCelsius: high }
    : null;
};
