/** Air forces from the shape: the study's own body and feet go in, and mistakes point to where the study says it. */
import { describe, expect, it } from 'vitest';
import { aerodynamicsFromGeometry } from '../../src/plant/barrowman.ts';
import { plainText, problemsOf, read } from './plainStudy.ts';

const shape = (rest: string) => ({
  7: `    geometry: { nose: { shape: cone, length: 200 mm }, axialNose: 0.6, axialTail: 1${rest} }`,
  ...Object.fromEntries([8, 9, 10, 11, 12, 13, 14, 15].map((line) => [line, ''])),
});
const FINS = ', fins: { count: 3, rootChord: 100 mm, tipChord: 50 mm, span: 60 mm, sweep: 40 mm, station: 200 mm }';

describe('air forces from the shape', () => {
  it('are those of nose, body, fins and of the legs’ struts to the study’s feet', async () => {
    const { study } = await read(plainText(shape(`${FINS}, legs: { hingeStation: 700 mm, width: 12 mm }`)));
    expect(study.vehicle.aerodynamics).toEqual(
      aerodynamicsFromGeometry({
        nose: { shape: 'cone', length: 0.2 },
        body: { length: 0.86, diameter: 0.094 },
        transitions: [],
        fins: { count: 3, rootChord: 0.1, tipChord: 0.05, span: 0.06, sweep: 0.04, station: 0.2 },
        legs: { count: 4, hingeStation: 0.7, footStation: 0.9, radius: 0.27, width: 0.012 },
        crossflowDrag: 1.2,
        axialNose: 0.6,
        axialTail: 1,
        rollAsymmetry: 0,
      }),
    );
  });

  it('say where the shape is impossible, in the study’s own places', async () => {
    const edit = {
      ...shape(
        ', fins: { rootChord: 100 mm, tipChord: 0, span: 60 mm, sweep: 0 mm, station: 800 mm }, legs: { hingeStation: 900 mm, width: 1 mm }',
      ),
      17: plainLegs,
    };
    expect((await problemsOf(plainText(edit))).map((line) => line.split(' ').slice(1, 2)[0])).toEqual([
      'vehicle.aerodynamics.geometry.fins.station:',
      'vehicle.aerodynamics.geometry.legs.hingeStation:',
      'vehicle.legs.radius:',
    ]);
  });

  it('cannot be given beside coefficients', async () => {
    const edit = { 7: '    geometry: { nose: { length: 200 mm }, axialNose: 0.6, axialTail: 1 }\n    coefficients:' };
    expect(await problemsOf(plainText(edit))).toEqual([
      'lander.yaml:6:3 vehicle.aerodynamics: read coefficients and geometry; expected exactly one of coefficients, geometry. Keep one.',
    ]);
  });
});

const plainLegs = '  legs: { radius: 40 mm, footStation: 900 mm, release: { afterApogee: 1 s }, deploymentTime: 0.3 s }';
