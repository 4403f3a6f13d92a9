/** What stands above a gauge and around it: the column of liquid, and the air at a height. */
import { ok } from '../../result.ts';
import { hydrostaticPressurePascal } from '../../science/hydrostatic.ts';
import { ambientPressureAtHeight } from '../../science/units/gauge.ts';
import { calculation } from './calculation.ts';
import { bar } from './drink-fields.ts';
import { given } from './field.ts';
import { hydrostatics, standardAir } from './source.ts';

export const hydrostatic = calculation({
  name: 'hydrostatic-pressure',
  title: 'Pressure of a column',
  purpose: 'What the liquid above a gauge adds to the head pressure.',
  inputs: {
    depthMetre: given({ label: 'Depth below the surface', unit: 'm', example: 2.2 }),
    densityKilogramPerCubicMetre: given({
      label: 'Density',
      unit: 'kg/m3',
      measure: 'density',
      hint: 'A gravity of 1.010 is 1008 kg/m³.',
      example: 1008,
    }),
  },
  answers: {
    pressurePascal: {
      kind: 'number',
      label: 'The column adds',
      ...bar,
      decimals: 3,
      sources: [hydrostatics],
    },
  },
  work: ({ depthMetre, densityKilogramPerCubicMetre }) => {
    const pressure = hydrostaticPressurePascal(depthMetre, densityKilogramPerCubicMetre);
    return pressure.ok ? ok({ pressurePascal: pressure.value }) : pressure;
  },
});

export const localAirPressure = calculation({
  name: 'local-air-pressure',
  title: 'Local air pressure',
  purpose: 'The air pressure to expect at a height, against which every gauge reads.',
  inputs: { heightMetre: given({ label: 'Height above the sea', unit: 'm', example: 320 }) },
  answers: {
    ambientPressurePascal: {
      kind: 'number',
      label: 'Air pressure',
      unit: 'Pa',
      measure: 'pressure',
      typedAs: { unit: 'hPa', ending: ['Pascal', 'Hectopascal'] },
      decimals: 1,
      sources: [standardAir],
    },
  },
  work: ({ heightMetre }) => {
    const pressure = ambientPressureAtHeight(heightMetre);
    return pressure.ok ? ok({ ambientPressurePascal: pressure.value }) : pressure;
  },
});
