/**
 * Where points on a plane fall: mean, spread, containment ellipses and circles. Takes the points as drawn from a
 * bivariate normal.
 */

/** Moments of a sample of points, in the unit of its coordinates (and its square). */
export interface PlaceSpread {
  readonly n: number;
  readonly meanX: number;
  readonly meanY: number;
  readonly varianceX: number;
  readonly varianceY: number;
  readonly covariance: number;
}

/** Principal standard deviations, the greater first, and the direction of the greater. */
export interface Axes {
  readonly major: number;
  readonly minor: number;
  /** rad from +x toward +y, in (-pi/2, pi/2]. */
  readonly angle: number;
}

/** An ellipse about the mean, made to hold the given share of further points. */
export interface Ellipse {
  readonly share: number;
  readonly centreX: number;
  readonly centreY: number;
  readonly semiMajor: number;
  readonly semiMinor: number;
  /** rad from +x toward +y, of the major axis. */
  readonly angle: number;
}

/**
 * Mean and covariance (divisor n - 1), in two passes against cancellation.
 * @param x,y of equal length, at least 3, finite
 * @throws RangeError otherwise
 */
export function spread(x: ArrayLike<number>, y: ArrayLike<number>): PlaceSpread {
  const n = x.length;
  if (y.length !== n) throw new RangeError(`${n} x and ${y.length} y are no set of points`);
  if (n < 3) throw new RangeError(`an ellipse needs at least 3 points, got ${n}`);
  let sumX = 0;
  let sumY = 0;
  for (let i = 0; i < n; i++) {
    sumX += x[i] ?? Number.NaN;
    sumY += y[i] ?? Number.NaN;
  }
  if (!Number.isFinite(sumX) || !Number.isFinite(sumY)) throw new RangeError('a point is not finite');
  const meanX = sumX / n;
  const meanY = sumY / n;
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    const dx = (x[i] ?? Number.NaN) - meanX;
    const dy = (y[i] ?? Number.NaN) - meanY;
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  return { n, meanX, meanY, varianceX: xx / (n - 1), varianceY: yy / (n - 1), covariance: xy / (n - 1) };
}

/** Principal axes of a covariance: square roots of its eigenvalues, and the eigenvector's direction. */
export function principalAxes(places: Pick<PlaceSpread, 'varianceX' | 'varianceY' | 'covariance'>): Axes {
  const mean = (places.varianceX + places.varianceY) / 2;
  const half = (places.varianceX - places.varianceY) / 2;
  const radius = Math.hypot(half, places.covariance);
  return {
    major: Math.sqrt(mean + radius),
    // Rounding may put a line's smaller eigenvalue a hair under 0.
    minor: Math.sqrt(Math.max(0, mean - radius)),
    angle: Math.atan2(places.covariance, half) / 2,
  };
}

/**
 * The ellipse that holds one further point with probability `share`, the mean and covariance having been estimated from
 * n points. Semi-axes are sqrt(2 (n + 1)(n - 1)/(n (n - 2)) F) standard deviations, F the share-quantile of F(2, n -
 * 2), which has the closed form (n - 2)/2 ((1 - share)^(-2/(n - 2)) - 1).
 * @param share in (0, 1)
 * @throws RangeError otherwise
 * Source: V. Chew, Journal of the American Statistical Association 61 (1966) 605-617 (confidence, prediction and
 * tolerance regions).
 */
export function predictionEllipse(places: PlaceSpread, share: number): Ellipse {
  checkShare(share);
  const { n } = places;
  const { major, minor, angle } = principalAxes(places);
  const f = ((n - 2) / 2) * Math.expm1((-2 / (n - 2)) * Math.log1p(-share));
  const k = Math.sqrt(((2 * (n + 1) * (n - 1)) / (n * (n - 2))) * f);
  return { share, centreX: places.meanX, centreY: places.meanY, semiMajor: k * major, semiMinor: k * minor, angle };
}

/** Whether a point lies in an ellipse (its border belongs to it). */
export function insideEllipse(ellipse: Ellipse, x: number, y: number): boolean {
  const dx = x - ellipse.centreX;
  const dy = y - ellipse.centreY;
  const c = Math.cos(ellipse.angle);
  const s = Math.sin(ellipse.angle);
  const along = c * dx + s * dy;
  const across = c * dy - s * dx;
  return scaled(along, ellipse.semiMajor) + scaled(across, ellipse.semiMinor) <= 1;
}

/** Squared distance in semi-axes; along an axis of no length only the centre is near. */
function scaled(distance: number, semiAxis: number): number {
  if (semiAxis > 0) return (distance / semiAxis) ** 2;
  return distance === 0 ? 0 : Number.POSITIVE_INFINITY;
}

/**
 * Radius of the circle about the mean that holds the given share of a bivariate normal distribution.
 * For a share of one half it is the circular error probable.
 * With r the radius and s(t)^2 = a^2 cos^2 t + b^2 sin^2 t, the share is 1 - mean over t of exp(-r^2/(2 s(t)^2)).
 * @param major,minor principal standard deviations, major >= minor >= 0
 * @param share in (0, 1)
 * @throws RangeError otherwise
 * Source: H. L. Harter, Journal of the American Statistical Association 55 (1960) 723-731 (circular error
 * probabilities).
 */
export function containmentRadius(major: number, minor: number, share: number): number {
  checkShare(share);
  if (!(major >= minor && minor >= 0 && Number.isFinite(major))) {
    throw new RangeError(`principal deviations are finite, 0 or more, the greater first; got ${major} and ${minor}`);
  }
  if (major === 0) return 0;
  const ratio = minor / major;
  // In units of the greater deviation the radius lies between 0 and that of the circular case.
  let low = 0;
  let high = Math.sqrt(-2 * Math.log1p(-share));
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (shareWithin(middle, ratio) < share) low = middle;
    else high = middle;
  }
  return (major * (low + high)) / 2;
}

/**
 * Points of the rule over a quarter turn; the integrand is smooth and periodic, so the rule converges faster than any
 * power.
 */
const QUARTER = 512;

/** Share within radius r for principal deviations 1 and ratio. */
function shareWithin(r: number, ratio: number): number {
  const half = (r * r) / 2;
  let outside = 0;
  for (let i = 0; i < QUARTER; i++) {
    // Midpoints: never exactly across the line when ratio is 0.
    const t = ((i + 0.5) * Math.PI) / (2 * QUARTER);
    const c = Math.cos(t);
    const s = ratio * Math.sin(t);
    outside += Math.exp(-half / (c * c + s * s));
  }
  return 1 - outside / QUARTER;
}

function checkShare(share: number): void {
  if (!(share > 0 && share < 1)) throw new RangeError(`a share lies between 0 and 1, not ${share}`);
}
