/** Tables of fixtures/published inside workerd, where no file can be read: they come with the bundle. */
import beer from '../../fixtures/published/beer_co2_g_per_L_table_seen.csv?raw';
import gasDensity from '../../fixtures/published/co2_gas_density_Z_coolprop.csv?raw';
import ethanol from '../../fixtures/published/crc_ethanol_20C.csv?raw';
import sucrose from '../../fixtures/published/crc_sucrose_20C.csv?raw';
import hydrometer from '../../fixtures/published/hydrometer_temperature_correction_computed.csv?raw';
import molecular from '../../fixtures/published/molecular_so2_computed.csv?raw';
import strength from '../../fixtures/published/oiml_abv_abw_density_20C.csv?raw';
import refractometer from '../../fixtures/published/oiv_refractometer_temperature_correction_seen.csv?raw';
import thermodynamic from '../../fixtures/published/oiv_so2_thermodynamic_constant_seen.csv?raw';
import plato from '../../fixtures/published/plato_sg_table_0_30.csv?raw';
import density from '../../fixtures/published/sucrose_density_vs_temperature.csv?raw';

const texts = {
  beer,
  density,
  ethanol,
  gasDensity,
  hydrometer,
  molecular,
  plato,
  refractometer,
  strength,
  sucrose,
  thermodynamic,
} as const;

export type Row = (column: string) => number;

export const publishedRows = (table: keyof typeof texts): readonly Row[] => {
  const [head = '', ...lines] = texts[table]
    .replace(/^\uFEFF/, '')
    .trim()
    .split(/\r?\n/);
  const columns = head.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return (column) => {
      const cell = cells[columns.indexOf(column)];
      const value = Number(cell);
      if (cell === undefined || cell === '' || !Number.isFinite(value))
        throw new Error(`the table ${table} has no number in column ${column} of row ${line}`);
      return value;
    };
  });
};

/** A column of a table at a place between two of its rows, by a straight line. */
export const between = (
  table: keyof typeof texts,
  along: string,
  at: number,
  read: string,
): number => {
  const rows = publishedRows(table);
  const above = rows.findIndex((row) => row(along) >= at);
  const high = rows[above];
  const low = rows[Math.max(0, above - 1)];
  if (high === undefined || low === undefined) throw new Error(`${at} is not in table ${table}`);
  const span = high(along) - low(along);
  return span === 0
    ? high(read)
    : low(read) + ((high(read) - low(read)) * (at - low(along))) / span;
};
