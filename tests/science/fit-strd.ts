/** The NIST StRD models with their analytic derivatives; data and certified values are in fixtures/strd. */
export type StrdModel = {
  readonly parameters: number;
  /** Value, with the derivatives written into `slopes`. */
  readonly at: (x: number, b: Float64Array, slopes: number[]) => number;
};

const p = (b: Float64Array, index: number): number => b[index] as number;

export const strdModels: Readonly<Record<string, StrdModel>> = {
  BoxBOD: saturating(),
  Misra1a: saturating(),
  Misra1b: {
    parameters: 2,
    at: (x, b, s) => {
      const base = 1 + (p(b, 1) * x) / 2;
      s[0] = 1 - base ** -2;
      s[1] = p(b, 0) * x * base ** -3;
      return p(b, 0) * (1 - base ** -2);
    },
  },
  Misra1c: {
    parameters: 2,
    at: (x, b, s) => {
      const base = 1 + 2 * p(b, 1) * x;
      s[0] = 1 - base ** -0.5;
      s[1] = p(b, 0) * x * base ** -1.5;
      return p(b, 0) * (1 - base ** -0.5);
    },
  },
  Misra1d: {
    parameters: 2,
    at: (x, b, s) => {
      const base = 1 + p(b, 1) * x;
      s[0] = (p(b, 1) * x) / base;
      s[1] = (p(b, 0) * x) / (base * base);
      return (p(b, 0) * p(b, 1) * x) / base;
    },
  },
  Chwirut2: {
    parameters: 3,
    at: (x, b, s) => {
      const below = p(b, 1) + p(b, 2) * x;
      const value = Math.exp(-p(b, 0) * x) / below;
      s[0] = -x * value;
      s[1] = -value / below;
      s[2] = (-value * x) / below;
      return value;
    },
  },
  DanWood: {
    parameters: 2,
    at: (x, b, s) => {
      const power = x ** p(b, 1);
      s[0] = power;
      s[1] = p(b, 0) * power * Math.log(x);
      return p(b, 0) * power;
    },
  },
  Eckerle4: {
    parameters: 3,
    at: (x, b, s) => {
      const z = (x - p(b, 2)) / p(b, 1);
      const bell = Math.exp(-0.5 * z * z) / p(b, 1);
      const value = p(b, 0) * bell;
      s[0] = bell;
      s[1] = (value * (z * z - 1)) / p(b, 1);
      s[2] = (value * z) / p(b, 1);
      return value;
    },
  },
  Hahn1: {
    parameters: 7,
    at: (x, b, s) => {
      const above = p(b, 0) + x * (p(b, 1) + x * (p(b, 2) + x * p(b, 3)));
      const below = 1 + x * (p(b, 4) + x * (p(b, 5) + x * p(b, 6)));
      for (let k = 0; k < 4; k += 1) s[k] = x ** k / below;
      for (let k = 0; k < 3; k += 1) s[4 + k] = (-above * x ** (k + 1)) / (below * below);
      return above / below;
    },
  },
  Lanczos3: {
    parameters: 6,
    at: (x, b, s) => {
      let value = 0;
      for (let k = 0; k < 6; k += 2) {
        const fade = Math.exp(-p(b, k + 1) * x);
        s[k] = fade;
        s[k + 1] = -p(b, k) * x * fade;
        value += p(b, k) * fade;
      }
      return value;
    },
  },
  MGH09: {
    parameters: 4,
    at: (x, b, s) => {
      const above = x * x + x * p(b, 1);
      const below = x * x + x * p(b, 2) + p(b, 3);
      s[0] = above / below;
      s[1] = (p(b, 0) * x) / below;
      s[2] = (-p(b, 0) * above * x) / (below * below);
      s[3] = (-p(b, 0) * above) / (below * below);
      return (p(b, 0) * above) / below;
    },
  },
  Rat42: {
    parameters: 3,
    at: (x, b, s) => {
      const grown = Math.exp(p(b, 1) - p(b, 2) * x);
      const value = p(b, 0) / (1 + grown);
      const slope = (value * grown) / (1 + grown);
      s[0] = 1 / (1 + grown);
      s[1] = -slope;
      s[2] = slope * x;
      return value;
    },
  },
};

function saturating(): StrdModel {
  return {
    parameters: 2,
    at: (x, b, s) => {
      const fade = Math.exp(-p(b, 1) * x);
      s[0] = 1 - fade;
      s[1] = p(b, 0) * x * fade;
      return p(b, 0) * (1 - fade);
    },
  };
}
