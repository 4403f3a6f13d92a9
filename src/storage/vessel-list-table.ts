/** The vessels of a cellar as its list has them; each vessel's own object knows more. */
import type { Vessel } from '../monitoring/vessel.ts';

export const listVessel = (sql: SqlStorage, vessel: Vessel): void => {
  sql.exec(
    'INSERT INTO vessel (vessel, body) VALUES (?1, ?2) ON CONFLICT (vessel) DO UPDATE SET body = ?2',
    vessel.vessel,
    JSON.stringify(vessel),
  );
};

export const listedVessels = (sql: SqlStorage): readonly Vessel[] =>
  sql
    .exec<{ body: string }>('SELECT body FROM vessel ORDER BY vessel')
    .toArray()
    .map((row) => JSON.parse(row.body) as Vessel);

export const listedVesselNames = (sql: SqlStorage): readonly string[] =>
  sql
    .exec<{ vessel: string }>('SELECT vessel FROM vessel')
    .toArray()
    .map((row) => row.vessel);

/** What the vessel is called; its short name where it is not listed. */
export const titleOfVessel = (sql: SqlStorage, vessel: string): string => {
  const row = sql
    .exec<{ body: string }>('SELECT body FROM vessel WHERE vessel = ?', vessel)
    .toArray()[0];
  return row === undefined ? vessel : (JSON.parse(row.body) as Vessel).title;
};
