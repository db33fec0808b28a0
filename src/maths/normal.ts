/** The normal distribution's quantile, for one uniform per variate. Its distribution function comes from a library where needed. */

/**
 * Quantile of the standard normal distribution, relative accuracy about 1e-16.
 * @param p in (0, 1); 0 and 1 give -Infinity and Infinity, anything else outside gives NaN.
 * Source: M. J. Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477-484.
 */
export function normalQuantile(p: number): number {
  const q = p - 0.5;
  if (q >= -0.425 && q <= 0.425) {
    const r = 0.180625 - q * q;
    return (
      (q *
        (((((((2.509080928730122672e3 * r + 3.343057558358812811e4) * r + 6.726577092700870085e4) * r + 4.592195393154987145e4) * r +
          1.373169376550946113e4) *
          r +
          1.971590950306551443e3) *
          r +
          1.331416678917843775e2) *
          r +
          3.387132872796366608)) /
      (((((((5.226495278852854561e3 * r + 2.872908573572194267e4) * r + 3.930789580009271061e4) * r + 2.121379430158659587e4) * r +
        5.394196021424751108e3) *
        r +
        6.871870074920579082e2) *
        r +
        4.231333070160091132e1) *
        r +
        1)
    );
  }
  return q < 0 ? -upperTail(p) : upperTail(1 - p);
}

/** The point above which a standard normal lies with probability p < 0.075. */
function upperTail(p: number): number {
  if (p === 0) return Number.POSITIVE_INFINITY;
  let r = Math.sqrt(-Math.log(p));
  if (r <= 5) {
    r -= 1.6;
    return (
      (((((((7.7454501427834140764e-4 * r + 2.27238449892691845833e-2) * r + 2.4178072517745061177e-1) * r + 1.27045825245236838258) * r +
        3.64784832476320460504) *
        r +
        5.7694972214606914055) *
        r +
        4.6303378461565452959) *
        r +
        1.42343711074968357734) /
      (((((((1.05075007164441684324e-9 * r + 5.475938084995344946e-4) * r + 1.51986665636164571966e-2) * r + 1.4810397642748007459e-1) * r +
        6.8976733498510000455e-1) *
        r +
        1.6763848301838038494) *
        r +
        2.05319162663775882187) *
        r +
        1)
    );
  }
  r -= 5;
  return (
    (((((((2.01033439929228813265e-7 * r + 2.71155556874348757815e-5) * r + 1.2426609473880784386e-3) * r + 2.6532189526576123093e-2) * r +
      2.9656057182850489123e-1) *
      r +
      1.7848265399172913358) *
      r +
      5.4637849111641143699) *
      r +
      6.6579046435011037772) /
    (((((((2.04426310338993978564e-15 * r + 1.4215117583164458887e-7) * r + 1.8463183175100546818e-5) * r + 7.868691311456132591e-4) * r +
      1.48753612908506148525e-2) *
      r +
      1.3692988092273580531e-1) *
      r +
      5.9983220655588793769e-1) *
      r +
      1)
  );
}
