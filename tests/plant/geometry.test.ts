import { describe, expect, test } from 'vitest';
import { type Geometry, geometryProblems, type LegStruts } from '../../src/plant/geometry.ts';
import { FINNED, FOUR_FINS, PLAIN_BODY } from './shapes.ts';

const LEGS: LegStruts = { count: 4, hingeStation: 0.75, footStation: 0.9, radius: 0.27, width: 0.012 };
const transition = { station: 0.5, length: 0.1, aftDiameter: 0.08 };

test('sound geometries have no problems', () => {
  expect(geometryProblems(FINNED)).toEqual([]);
  expect(geometryProblems(PLAIN_BODY)).toEqual([]);
  expect(geometryProblems({ ...FINNED, legs: LEGS, transitions: [transition, { station: 0.6, length: 0.05, aftDiameter: 0.06 }] })).toEqual(
    [],
  );
});

describe('one mistake, one problem', () => {
  const cases: readonly (readonly [string, Partial<Geometry>])[] = [
    ['nose.length', { nose: { shape: 'cone', length: 0 } }],
    ['nose.length', { nose: { shape: 'cone', length: 1.03 }, fins: null }],
    ['nose.length', { nose: { shape: 'ogive', length: 0.03 } }],
    ['body.diameter', { body: { length: 1.02, diameter: Number.NaN } }],
    ['transitions.0.station', { transitions: [{ ...transition, station: 0.2 }] }],
    ['transitions.1.station', { transitions: [transition, { ...transition, station: 0.59 }] }],
    ['transitions.0.length', { transitions: [{ ...transition, length: 0.6 }] }],
    ['transitions.0.aftDiameter', { transitions: [{ ...transition, aftDiameter: 0 }] }],
    ['fins.count', { fins: { ...FOUR_FINS, count: 2 } }],
    ['fins.count', { fins: { ...FOUR_FINS, count: 3.5 } }],
    ['fins.tipChord', { fins: { ...FOUR_FINS, tipChord: -0.01 } }],
    ['fins.span', { fins: { ...FOUR_FINS, span: 0 } }],
    ['fins.sweep', { fins: { ...FOUR_FINS, sweep: Number.POSITIVE_INFINITY } }],
    ['fins.station', { fins: { ...FOUR_FINS, station: 0.91 } }],
    ['legs.count', { legs: { ...LEGS, count: 9 } }],
    ['legs.radius', { legs: { ...LEGS, radius: 0.033 } }],
    ['legs.width', { legs: { ...LEGS, width: -0.01 } }],
    ['legs.hingeStation', { legs: { ...LEGS, hingeStation: 1.1 } }],
    ['crossflowDrag', { crossflowDrag: -1 }],
    ['axialTail', { axialTail: Number.NaN }],
  ];
  test.each(cases)('%s in %j', (path, change) => {
    expect(geometryProblems({ ...FINNED, ...change }).map((p) => p.path)).toEqual([path]);
  });
});

test('all mistakes are told at once, with what was read', () => {
  const problems = geometryProblems({ ...FINNED, fins: { ...FOUR_FINS, count: 12, span: -0.07 }, axialNose: -0.5 });
  expect(problems.map((p) => [p.path, p.read])).toEqual([
    ['fins.count', 12],
    ['fins.span', -0.07],
    ['axialNose', -0.5],
  ]);
});
