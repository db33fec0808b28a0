/**
 * Air-force coefficients from the outer shape, for flow from the nose, from the tail and across. Subsonic, rigid, no
 * base-pressure model: axial coefficients cannot be had this way and are given.
 *
 * Flow from the nose: J. S. Barrowman (M.S. thesis, Catholic University of America, 1967): nose, changes of diameter,
 * fins. Flow from the tail: L. H. Jorgensen's slender-body term (NASA TN D-6996, 1973) and the fins reversed. Across:
 * his crossflow term on the silhouette.
 */
import { crossflowEfficiency } from './crossflow.ts';
import { finsNormalForce, finsNormalForceReversed, finsRollDamping, type NormalForce } from './fins.ts';
import type { Geometry } from './geometry.ts';
import { strutForces } from './legStruts.ts';
import { bodySilhouette, diameterAt, finCentroid, finChord, finsInSilhouette, noseSilhouette } from './planform.ts';

/**
 * Skin-friction coefficient of a turbulent boundary layer at Reynolds numbers about a million. Common practice, no
 * source.
 */
const SKIN_FRICTION = 0.005;

/**
 * All coefficients of a vehicle, as a study holds them. Reference area pi d^2/4, d the body's diameter behind the nose.
 */
export interface GeometricAerodynamics {
  readonly axialNose: number;
  readonly axialTail: number;
  readonly normalNose: NormalForce;
  readonly normalTail: NormalForce;
  readonly crossflowDrag: number;
  readonly planformArea: number;
  readonly planformStation: number;
  readonly rollAsymmetry: number;
  readonly rollDamping: number;
  readonly legsAxial: number;
  readonly legsNormal: NormalForce;
}

/**
 * Every coefficient of a vehicle of this shape.
 * `crossflowDrag` is the effective one on the whole silhouette: Jorgensen's eta times the endless cylinder's on the
 * body, the endless cylinder's unreduced on the fins (flat plates of such aspect ratios have about 1.2 as well),
 * weighted by area; the station likewise.
 * @param g free of {@link geometryProblems}
 */
export function aerodynamicsFromGeometry(g: Geometry): GeometricAerodynamics {
  const d = g.body.diameter;
  const { fins, legs } = g;
  const radius = fins === null ? 0 : diameterAt(g, fins.station + fins.rootChord / 2) / 2;
  const across = crossflow(g);
  const struts = legs === null ? null : strutForces(legs, diameterAt(g, legs.hingeStation) / 2, d, g.crossflowDrag);
  return {
    axialNose: g.axialNose,
    axialTail: g.axialTail,
    normalNose: resultant(fins === null ? bodyNormalForces(g) : [...bodyNormalForces(g), finsNormalForce(fins, radius, d)]),
    normalTail: resultant(
      fins === null ? [bodyNormalForceReversed(g)] : [bodyNormalForceReversed(g), finsNormalForceReversed(fins, radius, d)],
    ),
    crossflowDrag: across.drag,
    planformArea: across.area,
    planformStation: across.station,
    rollAsymmetry: g.rollAsymmetry,
    rollDamping: bodyRollDamping(g) + (fins === null ? 0 : finsRollDamping(fins, radius, d)),
    legsAxial: struts === null ? 0 : struts.axial,
    legsNormal: struts === null ? { slope: 0, station: g.body.length } : struts.normal,
  };
}

/**
 * Nose and changes of diameter, each by slender-body theory: slope 2 (A_aft - A_fore)/A, at x_aft - (volume - A_fore
 * length)/(A_aft - A_fore).
 */
function bodyNormalForces(g: Geometry): NormalForce[] {
  const d = g.body.diameter;
  const nose = noseSilhouette(g.nose.shape, g.nose.length, d / 2);
  const forces: NormalForce[] = [{ slope: 2, station: g.nose.length - nose.volume / ((Math.PI / 4) * d * d) }];
  let fore = d;
  for (const t of g.transitions) {
    const slope = 2 * ((t.aftDiameter / d) ** 2 - (fore / d) ** 2);
    forces.push({ slope, station: t.station + (t.length / 3) * (1 + t.aftDiameter / (fore + t.aftDiameter)) });
    fore = t.aftDiameter;
  }
  return forces;
}

/**
 * The body with flow from the tail: Jorgensen's first term as a -> 180 degrees, slope 2 A_b/A at V/A_b from the nose (V
 * volume, A_b base area): the base acts as a blunt nose. A boat tail can put that station behind the body: the force is
 * then small and its moment is what counts.
 */
function bodyNormalForceReversed(g: Geometry): NormalForce {
  const base = diameterAt(g, g.body.length);
  return { slope: 2 * (base / g.body.diameter) ** 2, station: bodySilhouette(g).volume / ((Math.PI / 4) * base * base) };
}

/** Slopes added, stations weighted by slope. The sum is positive: a body's is 2 A_b/A, and fins only add. */
function resultant(forces: readonly NormalForce[]): NormalForce {
  let slope = 0;
  let moment = 0;
  for (const force of forces) {
    slope += force.slope;
    moment += force.slope * force.station;
  }
  return { slope, station: moment / slope };
}

function crossflow(g: Geometry): { drag: number; area: number; station: number } {
  const body = bodySilhouette(g);
  const eta = crossflowEfficiency(g.body.length / g.body.diameter);
  const finArea = g.fins === null ? 0 : finsInSilhouette(g.fins.count) * finChord(g.fins).area;
  const finStation = g.fins === null ? 0 : finCentroid(g.fins);
  const area = body.area + finArea;
  const effective = eta * body.area + finArea;
  return {
    drag: (g.crossflowDrag * effective) / area,
    area,
    station: (eta * body.area * body.centroid + finArea * finStation) / effective,
  };
}

/**
 * Skin friction of a cylinder that turns slowly in a flow along it: per p d/(2V), on A d, the wetted area pi d l at
 * radius d/2. Small.
 */
function bodyRollDamping(g: Geometry): number {
  return (-2 * SKIN_FRICTION * g.body.length) / g.body.diameter;
}
