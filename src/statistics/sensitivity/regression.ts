/** Linear regression of one output on many inputs, told in standard deviations: how far each input moves the output, and how much is linear at all. */
import { correlationMatrix, invertCorrelation, residualScores, standardise } from './correlationMatrix.ts';
import { type Estimate, withInfluence } from './influence.ts';

export interface Regression {
  readonly intercept: number;
  /** One an input, output unit per input unit. */
  readonly coefficients: Float64Array;
  /** Standardised coefficients: standard deviations of the output per standard deviation of the input. */
  readonly standardised: readonly Estimate[];
  /** Share of the output's variance the linear model explains, in [0, 1]; below about 0.7 the coefficients tell little. */
  readonly rSquared: Estimate;
}

/**
 * Least squares of the output on all inputs with their standardised coefficients. On average ranks in place of values the same function gives
 * the rank-regression coefficients (its standard errors then take the ranks as given).
 * @param inputs d columns of n > d + 2 rows   @param output the same rows; 0/1 is allowed
 * @throws RangeError as the correlation matrix: lengths, not finite, constant or dependent columns.
 * Source: A. Saltelli et al., Global Sensitivity Analysis: The Primer (2008), section 1.2.5. Standard errors hold without equal variances:
 * H. White, Econometrica 48 (1980) 817-838, with the spread of the standard deviations added.
 */
export function linearRegression(inputs: readonly Float64Array[], output: Float64Array): Regression {
  const d = inputs.length;
  const z = standardise([...inputs, output]);
  const { rows: n, columns, scores } = z;
  const inverse = invertCorrelation(correlationMatrix(z), columns);
  const q = residualScores(z, inverse);
  const pyy = inverse[d * columns + d];
  const sy = z.deviations[d];
  const coefficients = new Float64Array(d);
  let intercept = z.means[d];
  const standardised = Array.from({ length: d }, (_, i) => {
    const ratio = inverse[i * columns + d] / pyy;
    const beta = -ratio;
    coefficients[i] = (beta * sy) / z.deviations[i];
    intercept -= coefficients[i] * z.means[i];
    const influence = new Float32Array(n);
    for (let j = 0; j < n; j++) {
      const row = j * columns;
      const qy = q[row + d];
      const zi = scores[row + i];
      const zy = scores[row + d];
      // the residual of x_i on the other inputs over its variance, times the regression's residual
      influence[j] = (q[row + i] - ratio * qy) * (qy / pyy) + (beta / 2) * (zi * zi - zy * zy);
    }
    return withInfluence(beta, influence, d);
  });
  const unexplained = 1 / pyy;
  const influence = new Float32Array(n);
  for (let j = 0; j < n; j++) {
    const zy = scores[j * columns + d];
    const residual = q[j * columns + d] / pyy;
    influence[j] = unexplained * zy * zy - residual * residual;
  }
  return { intercept, coefficients, standardised, rSquared: withInfluence(1 - unexplained, influence, d) };
}
