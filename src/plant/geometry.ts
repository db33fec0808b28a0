/**
 * The outer shape of a vehicle, from which its air-force coefficients can be computed, and what can be wrong with it.
 * Metres and radians; stations are distances aft of the nose tip. A body of revolution with one set of equal fins and
 * one of equal legs.
 */

/**
 * A cone; a tangent ogive; a paraboloid of revolution (radius grows as the root of the distance); half an ellipsoid.
 */
export type NoseShape = 'cone' | 'ogive' | 'paraboloid' | 'ellipsoid';

/** A conical change of the body's diameter, from what it is ahead of it. */
export interface Transition {
  /** m; where it begins. */
  readonly station: number;
  readonly length: number;
  /** m; the body's diameter behind it. */
  readonly aftDiameter: number;
}

/** One set of equal flat fins, evenly spaced around the body. */
export interface Fins {
  /** 3..8 */
  readonly count: number;
  readonly rootChord: number;
  /** m; 0 is a pointed fin. */
  readonly tipChord: number;
  /** m, from the body's surface to the tip. */
  readonly span: number;
  /** m; how far the leading edge at the tip lies aft of that at the root. */
  readonly sweep: number;
  /** m; the root's leading edge. */
  readonly station: number;
}

/** Straight struts of equal width, evenly spaced, each from a hinge on the body's surface to a foot. As deployed. */
export interface LegStruts {
  /** 3..8 */
  readonly count: number;
  readonly hingeStation: number;
  readonly footStation: number;
  /** m from the axis to a foot. */
  readonly radius: number;
  /** m, across the strut. */
  readonly width: number;
}

export interface Geometry {
  readonly nose: { readonly shape: NoseShape; readonly length: number };
  /** Length with the nose; diameter behind the nose, which is the reference diameter of every coefficient. */
  readonly body: { readonly length: number; readonly diameter: number };
  /** From the nose aft; mostly none. */
  readonly transitions: readonly Transition[];
  readonly fins: Fins | null;
  /** null: coefficients of the legs are 0. */
  readonly legs: LegStruts | null;
  /** Drag coefficient of an endless cylinder across the flow; {@link CYLINDER_CROSSFLOW_DRAG} unless measured. */
  readonly crossflowDrag: number;
  /**
   * What a shape does not give: axial coefficients with flow from the nose and from the tail, legs stowed; see {@link
   * PLAUSIBLE_AXIAL}.
   */
  readonly axialNose: number;
  readonly axialTail: number;
  /** Spin-making asymmetry, mostly 0 and an uncertain input. */
  readonly rollAsymmetry: number;
}

/** Endless circular cylinder below the critical Reynolds number (L. H. Jorgensen, NASA TN D-6996, 1973, table 1). */
export const CYLINDER_CROSSFLOW_DRAG = 1.2;

/**
 * Axial coefficients beyond these are worth a warning. From the nose: a well-made streamlined body to a flat-faced
 * cylinder; from the tail: the fullness of a cylinder's flat face (0.85 to 1.15) with room for a rounded end and for
 * fins. Values after S. F. Hoerner, Fluid-Dynamic Drag (1965), from memory; the room is our judgement.
 */
export const PLAUSIBLE_AXIAL = { nose: [0.15, 1.15], tail: [0.6, 1.6] } as const;

/** One thing wrong with a geometry. */
export interface GeometryProblem {
  /** Where, dotted: `fins.span`, `transitions.0.length`. */
  readonly path: string;
  readonly read: number;
  /** What would be accepted, in words: `more than 0 m`. */
  readonly expected: string;
}

/**
 * Everything wrong with a geometry, in its own order; empty when {@link Geometry} can be computed with. Never throws.
 */
export function geometryProblems(g: Geometry): GeometryProblem[] {
  const problems: GeometryProblem[] = [];
  const demand = (good: boolean, path: string, read: number, expected: string) => {
    if (!good) problems.push({ path, read, expected });
  };
  const positive = (path: string, read: number) => demand(read > 0 && Number.isFinite(read), path, read, 'more than 0 m');
  const notNegative = (path: string, read: number) => demand(read >= 0 && Number.isFinite(read), path, read, '0 or more');
  const count = (path: string, read: number) =>
    demand(Number.isInteger(read) && read >= 3 && read <= 8, path, read, 'a whole number, 3 to 8');

  positive('nose.length', g.nose.length);
  positive('body.length', g.body.length);
  positive('body.diameter', g.body.diameter);
  if (g.nose.length > 0 && g.body.length > 0) {
    demand(g.nose.length <= g.body.length, 'nose.length', g.nose.length, `at most the body's length with the nose, ${g.body.length} m`);
  }
  if (g.nose.shape === 'ogive' && g.nose.length > 0 && g.body.diameter > 0) {
    demand(
      g.nose.length >= g.body.diameter / 2,
      'nose.length',
      g.nose.length,
      `at least half the diameter for an ogive, ${g.body.diameter / 2} m`,
    );
  }
  let free = g.nose.length;
  for (const [i, t] of g.transitions.entries()) {
    positive(`transitions.${i}.length`, t.length);
    positive(`transitions.${i}.aftDiameter`, t.aftDiameter);
    demand(t.station >= free, `transitions.${i}.station`, t.station, `${free} m or more, behind what is ahead of it`);
    demand(
      t.station + t.length <= g.body.length,
      `transitions.${i}.length`,
      t.length,
      `an end within the body's length, ${g.body.length} m`,
    );
    free = t.station + t.length;
  }
  if (g.fins !== null) {
    const f = g.fins;
    count('fins.count', f.count);
    positive('fins.rootChord', f.rootChord);
    notNegative('fins.tipChord', f.tipChord);
    positive('fins.span', f.span);
    demand(Number.isFinite(f.sweep), 'fins.sweep', f.sweep, 'a length');
    demand(
      f.station >= 0 && f.station + f.rootChord <= g.body.length,
      'fins.station',
      f.station,
      `a root on the body, 0 to ${g.body.length} m`,
    );
  }
  if (g.legs !== null) {
    const l = g.legs;
    count('legs.count', l.count);
    demand(
      l.hingeStation >= 0 && l.hingeStation <= g.body.length,
      'legs.hingeStation',
      l.hingeStation,
      `on the body, 0 to ${g.body.length} m`,
    );
    demand(Number.isFinite(l.footStation), 'legs.footStation', l.footStation, 'a station');
    demand(l.radius > g.body.diameter / 2, 'legs.radius', l.radius, `more than the body's radius, ${g.body.diameter / 2} m`);
    positive('legs.width', l.width);
  }
  notNegative('crossflowDrag', g.crossflowDrag);
  notNegative('axialNose', g.axialNose);
  notNegative('axialTail', g.axialTail);
  demand(Number.isFinite(g.rollAsymmetry), 'rollAsymmetry', g.rollAsymmetry, 'a number');
  return problems;
}
