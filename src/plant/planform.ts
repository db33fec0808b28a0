/**
 * Areas and volumes of a vehicle's shape: what the slender-body and crossflow terms of barrowman.ts integrate over.
 * Closed forms; knows no air.
 */
import type { Fins, Geometry, NoseShape } from './geometry.ts';

/** A body of revolution seen from the side, and its volume. */
export interface Silhouette {
  /** m^3 */
  readonly volume: number;
  /** m^2, seen from the side. */
  readonly area: number;
  /** m; the area's centroid, as a station. */
  readonly centroid: number;
}

/** A nose of length L and base radius R, tip at station 0. @throws RangeError for an ogive shorter than its radius. */
export function noseSilhouette(shape: NoseShape, L: number, R: number): Silhouette {
  switch (shape) {
    case 'cone':
      return { volume: (Math.PI * R * R * L) / 3, area: R * L, centroid: (2 / 3) * L };
    case 'paraboloid':
      return { volume: (Math.PI * R * R * L) / 2, area: (4 / 3) * R * L, centroid: (3 / 5) * L };
    case 'ellipsoid':
      return { volume: (2 / 3) * Math.PI * R * R * L, area: (Math.PI / 2) * R * L, centroid: L - (4 * L) / (3 * Math.PI) };
    case 'ogive':
      return tangentOgive(L, R);
  }
}

/**
 * Tangent ogive: radius y = sqrt(rho^2 - u^2) - k at u = L - x ahead of its base, an arc of radius rho whose centre
 * lies k below the axis, rho = (R^2 + L^2)/(2R), k = rho - R = sqrt(rho^2 - L^2).
 */
function tangentOgive(L: number, R: number): Silhouette {
  if (!(L >= R)) throw new RangeError(`a tangent ogive of length ${L} m is shorter than its radius, ${R} m`);
  const rho = (R * R + L * L) / (2 * R);
  const k = rho - R;
  const arc = rho * rho * Math.asin(Math.min(L / rho, 1));
  const area = arc - k * L;
  // twice the integral of u y over 0..L
  const moment = (2 / 3) * (rho ** 3 - k ** 3) - k * L * L;
  return { volume: Math.PI * (rho * rho * L - L ** 3 / 3 - k * arc), area, centroid: L - moment / area };
}

/** A cone's frustum (or a cylinder) of length L from this station, between two diameters. */
export function frustumSilhouette(station: number, L: number, fore: number, aft: number): Silhouette {
  const sum = fore + aft;
  return {
    volume: (Math.PI * L * (fore * fore + fore * aft + aft * aft)) / 12,
    area: (L * sum) / 2,
    centroid: station + (L * (fore + 2 * aft)) / (3 * sum),
  };
}

/** Several silhouettes as one. */
export function joinSilhouettes(parts: readonly Silhouette[]): Silhouette {
  let volume = 0;
  let area = 0;
  let moment = 0;
  for (const part of parts) {
    volume += part.volume;
    area += part.area;
    moment += part.area * part.centroid;
  }
  return { volume, area, centroid: moment / area };
}

/** Nose, cylinders and transitions; without fins and legs. */
export function bodySilhouette(g: Geometry): Silhouette {
  const parts = [noseSilhouette(g.nose.shape, g.nose.length, g.body.diameter / 2)];
  let station = g.nose.length;
  let diameter = g.body.diameter;
  for (const t of g.transitions) {
    parts.push(frustumSilhouette(station, t.station - station, diameter, diameter));
    parts.push(frustumSilhouette(t.station, t.length, diameter, t.aftDiameter));
    station = t.station + t.length;
    diameter = t.aftDiameter;
  }
  parts.push(frustumSilhouette(station, g.body.length - station, diameter, diameter));
  return joinSilhouettes(parts);
}

/** The body's diameter at a station behind the nose; ahead of the nose's base, the diameter there. */
export function diameterAt(g: Geometry, station: number): number {
  let diameter = g.body.diameter;
  for (const t of g.transitions) {
    if (station <= t.station) return diameter;
    if (station < t.station + t.length) return diameter + ((t.aftDiameter - diameter) * (station - t.station)) / t.length;
    diameter = t.aftDiameter;
  }
  return diameter;
}

/** One fin's area, mean aerodynamic chord and that chord's leading edge (a station). */
export function finChord(f: Fins): { readonly area: number; readonly chord: number; readonly leadingEdge: number } {
  const sum = f.rootChord + f.tipChord;
  return {
    area: (f.span * sum) / 2,
    chord: (2 / 3) * (sum - (f.rootChord * f.tipChord) / sum),
    leadingEdge: f.station + (f.sweep * (f.rootChord + 2 * f.tipChord)) / (3 * sum),
  };
}

/** The station of a fin's centroid of area. */
export function finCentroid(f: Fins): number {
  const { chord, leadingEdge } = finChord(f);
  // strips of chord c have their middles on the mid-chord line; weighted by area that is the middle of the mean
  // aerodynamic chord
  return leadingEdge + chord / 2;
}

/**
 * Mean over the roll angle of what a set of fins adds to the silhouette, in areas of one fin: on either side of the
 * body the fin that sticks out furthest, foreshortened by the cosine of an angle spread evenly over +-pi/N; the others
 * lie in its shadow. The strip a foreshortened fin hides behind the body is not taken off (a few per cent of a fin).
 */
export function finsInSilhouette(count: number): number {
  return (2 * Math.sin(Math.PI / count)) / (Math.PI / count);
}
