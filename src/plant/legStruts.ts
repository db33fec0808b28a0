/**
 * What deployed legs add to the air forces, as plain struts. Their feet, hinges and the air the body stirs up are left
 * out.
 */
import { crossflowEfficiency } from './crossflow.ts';
import type { NormalForce } from './fins.ts';
import type { LegStruts } from './geometry.ts';

/**
 * Axial coefficient and normal-force slope of N struts at an angle e to the axis, with flow from the tail, on the
 * reference area A = pi d^2/4.
 *
 * Crossflow principle (S. F. Hoerner, Fluid-Dynamic Drag, 1965, from memory): the force on a strut is Cd l w q_n along
 * the flow's part normal to it. With the flow at a small angle a to the axis, differentiated and averaged over the
 * struts' azimuths (exact for three or more):
 *
 *     C_A = N Cd l w/A sin^3 e         C_Na = N Cd l w/A sin e (1 + cos(2e)/2)
 *
 * Besides, struts that point into the flow carry more axial force on the lee side. Their moment is that of C_Na acting
 * y sin e cos e/(1 + cos(2e)/2) further towards the feet, y the distance of a strut's middle from the axis.
 *
 * @param hingeRadius m from the axis   @param d m, reference diameter   @param drag of an endless strut across the
 * flow; round ones 1.2
 */
export function strutForces(
  legs: LegStruts,
  hingeRadius: number,
  d: number,
  drag: number,
): { readonly axial: number; readonly normal: NormalForce } {
  const out = legs.radius - hingeRadius;
  const along = legs.footStation - legs.hingeStation;
  const length = Math.hypot(out, along);
  const sin = out / length;
  const cos = along / length;
  const half = 1 + (cos * cos - sin * sin) / 2;
  const size = (legs.count * drag * crossflowEfficiency(length / legs.width) * length * legs.width) / ((Math.PI / 4) * d * d);
  const shift = (((hingeRadius + legs.radius) / 2) * sin * cos) / half;
  return {
    axial: size * sin ** 3,
    normal: { slope: size * sin * half, station: (legs.hingeStation + legs.footStation) / 2 + shift },
  };
}
