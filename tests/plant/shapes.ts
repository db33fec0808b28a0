/** Invented vehicles for the tests of geometry. */
import type { Fins, Geometry } from '../../src/plant/geometry.ts';

export const FOUR_FINS: Fins = { count: 4, rootChord: 0.12, tipChord: 0.06, span: 0.07, sweep: 0.05, station: 0.9 };

/** Ogive, 66 mm, four swept fins near the end. */
export const FINNED: Geometry = {
  nose: { shape: 'ogive', length: 0.22 },
  body: { length: 1.02, diameter: 0.066 },
  transitions: [],
  fins: FOUR_FINS,
  legs: null,
  crossflowDrag: 1.2,
  axialNose: 0.5,
  axialTail: 1,
  rollAsymmetry: 0,
};

/** Cone on a cylinder, no fins: fineness 12.5. */
export const PLAIN_BODY: Geometry = {
  ...FINNED,
  nose: { shape: 'cone', length: 0.24 },
  body: { length: 1, diameter: 0.08 },
  fins: null,
  axialNose: 0.45,
  axialTail: 0.9,
};
