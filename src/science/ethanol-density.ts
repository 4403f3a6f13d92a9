/**
 * Density of ethanol and water, the scale on which alcoholic strength is defined.
 *
 * Source: OIML International Recommendation R 22 (1975), general formula, after H. Wagenbreth and
 * W. Blanke; the same in Council Directive 76/766/EEC:
 * rho = A1 + sum A_k p^(k-1) + sum B_k (t-20)^k + sum sum C_ik p^k (t-20)^i, 54 coefficients, p the mass
 * fraction of ethanol, kg/m3, -20 to 40 °C. The temperature scale is that of 1968; its 5 mK against the
 * scale of 1990 at 20 °C are dropped (0.001 kg/m3). Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

const a = [
  998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042,
  -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
] as const;

const b = [
  -0.20618513, -0.0052682542, 3.6130013e-5, -3.8957702e-7, 7.169354e-9, -9.9739231e-11,
] as const;

/** Row i belongs to (t-20)^(i+1), column k to p^(k+1). */
const c = [
  [
    0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792,
    3924.090430035045, -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467,
    -7420.201433430137, 1285.617841998974,
  ],
  [
    -0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029,
    -50.29988758547014, 109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392,
    7.442971530188783,
  ],
  [
    -0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922,
    -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
    -0.5411227621436812,
  ],
  [4.075376675622027e-6, -8.76305857347111e-6, 6.515031360099368e-6, -1.51578483698721e-6],
  [-2.788074354782409e-8, 1.345612883493354e-8],
] as const;

/** c1 x + c2 x2 + ... by Horner's rule. */
const withoutConstant = (coefficients: readonly number[], x: number): number =>
  coefficients.reduceRight((sum, coefficient) => (sum + coefficient) * x, 0);

/** Density in kg/m3 of a mass fraction of ethanol. The caller has checked the range. */
export const ethanolDensityAt = (massFraction: number, temperatureCelsius: number): number => {
  const step = temperatureCelsius - 20;
  const [atZero, ...powers] = a;
  let sum = atZero + withoutConstant(powers, massFraction) + withoutConstant(b, step);
  let stepPower = 1;
  for (const row of c) {
    stepPower *= step;
    sum += withoutConstant(row, massFraction) * stepPower;
  }
  return sum;
};

/** Density of pure ethanol at 20 °C, kg/m3: 789.2391. */
export const pureEthanolDensity = ethanolDensityAt(1, 20);

/** Density of ethanol and water, kg/m3. */
export const ethanolDensity = (
  alcoholMassPercent: number,
  temperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['alcoholMassPercent', alcoholMassPercent, 0, 100, 'mass %'],
    ['temperatureCelsius', temperatureCelsius, -20, 40, '°C'],
  ]);
  return fault ? fail(fault) : ok(ethanolDensityAt(alcoholMassPercent / 100, temperatureCelsius));
};
