/**
 * What a set of fins does at small angles of attack, in subsonic flow: Barrowman's equations.
 * J. S. Barrowman, The Practical Calculation of the Aerodynamic Characteristics of Slender Finned Vehicles (M.S.
 * thesis, Catholic University of America, 1967). Coefficients on the reference area pi d^2/4.
 */
import type { Fins } from './geometry.ts';
import { finChord } from './planform.ts';

/** A normal-force slope, per radian on the reference area, and the station it acts at. */
export interface NormalForce {
  readonly slope: number;
  readonly station: number;
}

/** With flow from the nose. `radius` is the body's at the fins, `d` the reference diameter. */
export function finsNormalForce(f: Fins, radius: number, d: number): NormalForce {
  const midChord = Math.hypot(f.span, f.sweep + (f.tipChord - f.rootChord) / 2);
  const tip = radius + f.span;
  // lift carried over between fins and body
  const K = 1 + radius / tip;
  const root = Math.sqrt(1 + ((2 * midChord) / (f.rootChord + f.tipChord)) ** 2);
  const { chord, leadingEdge } = finChord(f);
  return {
    slope: (K * shading(f.count, radius, tip) * 4 * f.count * (f.span / d) ** 2) / (1 + root),
    station: leadingEdge + chord / 4,
  };
}

/**
 * With flow from the tail. A thin surface has the same slope both ways (the reversal theorem: C. E. Brown, NACA Report
 * 986, 1950; F. Ursell & G. N. Ward, Quarterly Journal of Mechanics and Applied Mathematics 3, 1950; both from memory),
 * as Barrowman's formula has by itself: it knows the sweep of the mid-chord line only. The force acts at the quarter
 * chord from what is then the leading edge. The wake of the blunt base, in which such fins lie, is left out: the true
 * slope is the less for it.
 */
export function finsNormalForceReversed(f: Fins, radius: number, d: number): NormalForce {
  const { slope, station } = finsNormalForce(f, radius, d);
  return { slope, station: station + finChord(f).chord / 2 };
}

/**
 * How much of its slope a set of more than four fins keeps, for they shade one another: 1 for three and four, which
 * Barrowman's equations are for. From slender-body theory: a circle of radius c maps to a body of radius R with N fins
 * out to r when 2 c^(N/2) = r^(N/2) + R^N r^(-N/2), and the slope of body and fins together is pi (2 c^2 - R^2) times 2
 * over the reference area. So the fins' part grows as c^2 - R^2, not as N. Our derivation; exact for slender fins, on
 * the low side for others.
 */
function shading(N: number, R: number, r: number): number {
  if (N <= 4) return 1;
  const grown = (n: number) => r * r * ((1 + (R / r) ** n) / 2) ** (4 / n) - R * R;
  return ((grown(N) / grown(4)) * 4) / N;
}

/**
 * Roll-damping coefficient, on A d per p d/(2V), < 0. Strip theory: a strip at distance y moves across the flow at p y,
 * so the moment is the lift slope times the integral of c y^2. The slope is that of one fin as a wing by itself (aspect
 * ratio span^2/area, half of what two fins make together), for in a roll no fin holds up its opposite's lift as in a
 * turn. Against slender-body theory (moment (2/pi) rho V p r^4 for four fins without a body; from memory) pointed fins
 * with a straight mid-chord line come out 18 per cent low and rectangular ones 64 per cent high: an estimate, to be
 * given a wide spread.
 */
export function finsRollDamping(f: Fins, radius: number, d: number): number {
  const { area } = finChord(f);
  const aspect = (f.span * f.span) / area;
  const midChord = Math.hypot(f.span, f.sweep + (f.tipChord - f.rootChord) / 2);
  const slope = (Math.PI * aspect) / (1 + Math.sqrt(1 + ((aspect * midChord) / (2 * f.span)) ** 2));
  const kept = shading(f.count, radius, radius + f.span);
  return (-2 * f.count * kept * slope * chordSecondMoment(f, radius)) / ((Math.PI / 4) * d ** 4);
}

/** Integral of chord times the square of the distance from the axis, over one fin, m^4. */
export function chordSecondMoment(f: Fins, R: number): number {
  const { rootChord: cr, tipChord: ct, span: s } = f;
  return ((cr + ct) * R * R * s) / 2 + ((cr + 2 * ct) * R * s * s) / 3 + ((cr + 3 * ct) * s ** 3) / 12;
}
