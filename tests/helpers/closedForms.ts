/**
 * Functions whose sensitivity measures are known in closed form: the ground on which every estimator is judged.
 * Inputs are given as uniforms on (0, 1), one a coordinate. Sources stand beside each.
 */

/** A function of uniforms with what is known of it, one value an input. */
export interface ClosedForm {
  readonly inputs: number;
  readonly f: (u: readonly number[]) => number;
  readonly first: readonly number[];
  readonly total: readonly number[];
  /** Borgonovo's delta. */
  readonly delta?: readonly number[];
  /** Mean Kolmogorov distance between the output's distribution and that given the input. */
  readonly meanKolmogorov?: readonly number[];
}

const at = (u: readonly number[], i: number): number => u[i] ?? Number.NaN;

/**
 * f = sin x1 + a sin^2 x2 + b x3^4 sin x1, a = 7, b = 0.1, x uniform on [-pi, pi]. V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8,
 * V13 = b^2 pi^8 (1/18 - 1/50).
 * Source: T. Ishigami and T. Homma, Proc. ISUMA '90 (1990) 398-403; formulas in A. Saltelli et al., Global Sensitivity
 * Analysis: The Primer (2008). delta and mean Kolmogorov distance: quadrature of the exact conditional distributions,
 * +-0.001 (no published exact value).
 */
export const ishigami: ClosedForm & { readonly variance: number; readonly second13: number } = (() => {
  const a = 7;
  const b = 0.1;
  const v1 = (1 + (b * Math.PI ** 4) / 5) ** 2 / 2;
  const v2 = a ** 2 / 8;
  const v13 = b ** 2 * Math.PI ** 8 * (1 / 18 - 1 / 50);
  const variance = v1 + v2 + v13;
  return {
    inputs: 3,
    f: (u) => {
      const [x1, x2, x3] = [0, 1, 2].map((i) => (2 * at(u, i) - 1) * Math.PI);
      return Math.sin(x1) + a * Math.sin(x2) ** 2 + b * x3 ** 4 * Math.sin(x1);
    },
    variance,
    second13: v13 / variance,
    first: [v1 / variance, v2 / variance, 0],
    total: [(v1 + v13) / variance, v2 / variance, v13 / variance],
    delta: [0.263, 0.425, 0.21],
    meanKolmogorov: [0.23, 0.39, 0.093],
  };
})();

/**
 * f = prod (|4 x_i - 2| + a_i)/(1 + a_i), x uniform on [0, 1]; V_i = 1/(3 (1 + a_i)^2), V = prod(1 + V_i) - 1, ST_i =
 * V_i prod_{j != i}(1 + V_j)/V.
 * Source: A. Saltelli and I. M. Sobol', About the use of rank transformation in sensitivity analysis of model output,
 * Reliab. Eng. Syst. Saf. 50 (1995) 225-239.
 */
export function gFunction(a: readonly number[]): ClosedForm & { readonly variance: number } {
  const parts = a.map((ai) => 1 / (3 * (1 + ai) ** 2));
  const product = parts.reduce((p, v) => p * (1 + v), 1);
  const variance = product - 1;
  return {
    inputs: a.length,
    f: (u) => a.reduce((p, ai, i) => (p * (Math.abs(4 * at(u, i) - 2) + ai)) / (1 + ai), 1),
    variance,
    first: parts.map((v) => v / variance),
    total: parts.map((v) => (v * product) / (1 + v) / variance),
  };
}

/**
 * y = x1 + x2, uniform on [0, 1]: the output given x1 is uniform on [x1, x1 + 1], and a triangle over all.
 * Overlap of the two densities 1 - x^2/2 - (1-x)^2/2, so delta = 1/3; greatest distance of distributions max(x^2,
 * (1-x)^2)/2, mean 7/24. Derived here.
 */
export const sumOfTwo: ClosedForm = {
  inputs: 2,
  f: (u) => at(u, 0) + at(u, 1),
  first: [0.5, 0.5],
  total: [0.5, 0.5],
  delta: [1 / 3, 1 / 3],
  meanKolmogorov: [7 / 24, 7 / 24],
};

/**
 * Failure (1) when x1 + x2 > 1, uniform on [0, 1]: P(x1 <= t | fail) = t^2, P(x1 <= t | success) = 2t - t^2, greatest
 * distance 1/2 at t = 1/2. P(fail | x1) = x1, so the variance share is (1/12)/(1/4) = 1/3 and delta = E|x1 - 1/2| =
 * 1/4. After R. C. Spear and G. M. Hornberger, Eutrophication in Peel Inlet II, Water Research 14 (1980) 43-49; figures
 * derived here.
 */
export const twoUniformFailure: ClosedForm & { readonly splitDistance: number; readonly splitAt: number } = {
  inputs: 2,
  f: (u) => (at(u, 0) + at(u, 1) > 1 ? 1 : 0),
  first: [1 / 3, 1 / 3],
  total: [2 / 3, 2 / 3],
  delta: [0.25, 0.25],
  meanKolmogorov: [0.25, 0.25],
  splitDistance: 0.5,
  splitAt: 0.5,
};

/** Columns of uniforms and the function's value a row; columns past the function's inputs are without effect. */
export function sampleOf(
  form: ClosedForm,
  rows: number,
  uniform: () => number,
  columns = form.inputs,
): { readonly inputs: Float64Array[]; readonly output: Float64Array } {
  const inputs = Array.from({ length: columns }, () => new Float64Array(rows));
  const output = new Float64Array(rows);
  for (let i = 0; i < rows; i++) {
    const u = inputs.map((column) => {
      const value = uniform();
      column[i] = value;
      return value;
    });
    output[i] = form.f(u);
  }
  return { inputs, output };
}
