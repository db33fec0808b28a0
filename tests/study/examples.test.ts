/** The studies that come with the program, the one `alight new` writes, and the editor's schema. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { studyPaths, studySchema, studySchemaText } from '../../src/study/jsonSchema.ts';
import { openStudy } from '../../src/study/load.ts';
import { newStudy } from '../../src/study/newStudy.ts';
import type { Study } from '../../src/study/study.ts';
import { flyOne } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';
import { read } from './plainStudy.ts';

const folder = new URL('../../studies/', import.meta.url).pathname;

describe('the demo study', () => {
  it('is the demo vehicle to the last digit', async () => {
    const { study } = await openStudy(`${folder}thistledown.yaml`);
    const demo = demoStudy();
    for (const key of [
      'vehicle',
      'ascent',
      'landing',
      'ejectDelay',
      'rail',
      'computer',
      'substeps',
      'sensors',
      'phases',
      'limits',
      'site',
    ] as const) {
      expect(study[key], key).toEqual(demo[key]);
    }
    expect(study.control).toEqual(demo.control);
    // its spread is written as a share, 1 % of 0.93 kg, which rounds to the next number above 0.0093
    expect(study.inputs).toEqual({ ...demo.inputs, 'airframe.mass': { kind: 'normal', mean: 0.93, sd: 0.01 * 0.93 } });
    // the fourth is not in the scenario: what tuning it found
    const predictedStop = { kind: 'predictedStop', constants: { margin: -1.6, speed: 6 }, lead: 0.11, tiltGuard: (35 * Math.PI) / 180 };
    expect(study.rules.map(({ name: _, ...rule }) => rule)).toEqual([
      ...demo.rules.map(({ name: _, ...rule }) => rule),
      { ...predictedStop, insideTick: false },
    ]);
    expect(study.rules.map((rule) => rule.name)).toEqual(['fixed-height', 'apogee-line', 'speed-curve', 'predicted-stop']);
    expect([study.seed, study.flights, study.design, study.correlations]).toEqual(['1', 10_000, 'independent', []]);
  });

  it('is warned of its low thrust only', async () => {
    const { warnings } = await openStudy(`${folder}thistledown.yaml`);
    expect(warnings).toEqual([]);
  });
});

describe('the other examples', () => {
  it('dandelion has its air forces computed, and is warned that it is unsteady going up', async () => {
    const { study, warnings } = await openStudy(`${folder}dandelion.yaml`);
    const air = study.vehicle.aerodynamics;
    expect(air.normalNose.slope).toBeGreaterThan(2); // slender body alone: 2
    expect(air.normalTail.station).toBeLessThan(0.56); // ahead of the centre of mass: steady tail first
    expect(air.legsNormal.slope).toBeGreaterThan(0);
    expect(warnings).toEqual([expect.stringContaining('going up, the air acts at')]);
  });

  it('dandelion lands its nominal flight without turning over, and turns over with the impulse given in half the time', async () => {
    const { study } = await openStudy(`${folder}dandelion.yaml`);
    const flown = flyOne(study);
    expect(flown.outcome).toBe('landed');
    expect(Math.max(flown.out('tiltRising'), flown.out('tiltFalling'))).toBeLessThan(Math.PI / 4);
    const { curve } = study.ascent;
    const quick = { time: curve.time.map((t) => t / 2), thrust: curve.thrust.map((f) => 2 * f) };
    expect(flyOne({ ...study, ascent: { ...study.ascent, curve: quick } }).outcome).toBe('flipped');
  });

  it('stitchwort draws from its bench data, tied together', async () => {
    const { study, warnings } = await openStudy(`${folder}stitchwort.yaml`);
    const d = study.inputs['landing.ignitionDelay'];
    expect(d).toEqual({
      kind: 'measured',
      as: 'resample',
      bandwidth: 0,
      values: [0.088, 0.09, 0.093, 0.096, 0.099, 0.101, 0.104, 0.108, 0.112, 0.118, 0.131, 0.167],
    });
    expect(study.correlations).toEqual([{ a: 'landing.impulseFactor', b: 'landing.burnTimeFactor', rank: -0.8 }]);
    expect(warnings).toEqual([]);
  });
});

describe('a new study', () => {
  it('is sound as written, and brings the schema its first line names', async () => {
    const [study, schema] = newStudy('my-lander');
    const { study: read1, warnings } = await read(study?.text ?? '');
    expect(study?.name).toBe('my-lander.yaml');
    expect(read1.title).toBe('my-lander');
    expect(warnings).toEqual([]);
    expect(study?.text.split('\n')[0]).toBe(`# yaml-language-server: $schema=./${schema?.name}`);
    expect(schema?.text).toBe(studySchemaText());
  });

  it('carries another vehicle in by its own order: weighed, motors to match, guesses that fly', async () => {
    // 1.7 times as heavy and 1.3 times as long, as the head of the template tells.
    const [mass, length, diameter] = [1.3, 1.1, 0.1];
    const along = (station: number): string => `${(station * length) / 0.86} m`;
    const [{ text }] = newStudy('other');
    const curve = (name: 'ascent' | 'landing', study: Study): string => {
      const { time, thrust } = study[name].curve;
      return `${name}.curve=${JSON.stringify(time.map((t, i) => [t, 1.79 * thrust[i]]))}`;
    };
    const base = (await read(text)).study;
    const places = { coefficients: 'vehicle.aerodynamics.coefficients', airframe: 'vehicle.airframe' };
    const { study } = await read(text, [
      `vehicle.body={ length: ${length} m, diameter: ${diameter} m }`,
      `${places.airframe}.mass=${mass} kg`,
      `${places.airframe}.station=0.73 m`,
      `${places.airframe}.inertiaAxial=${(mass * diameter ** 2) / 6}`,
      `${places.airframe}.inertiaTransverse=${(mass * length ** 2) / 16}`,
      `${places.coefficients}.normalNose.station=${along(0.63)}`,
      `${places.coefficients}.normalTail.station=${along(0.42)}`,
      `${places.coefficients}.planformStation=${along(0.45)}`,
      `${places.coefficients}.legsNormal.station=${along(0.8)}`,
      `${places.coefficients}.planformArea=${0.93 * length * diameter}`,
      'vehicle.legs.radius=0.33 m',
      'vehicle.legs.footStation=1.15 m',
      curve('ascent', base),
      curve('landing', base),
      ...['ascent.station=1.05 m', 'ascent.nozzleStation=1.105 m', 'landing.station=0.93 m', 'landing.nozzleStation=0.98 m'],
      'control.torqueScheduling={ thrust: 26 N, arm: 0.3 m }',
      'sensors.imu.station=0.46 m',
      // What the drops of this vehicle find.
      'rules.fixed-height.height=9.3 m',
    ]);
    const flown = flyOne(study);
    expect(flown.outcome).toBe('landed');
    expect(flown.out('sink')).toBeLessThan(2.5);
  });

  it('wants a name that makes a file', () => {
    for (const name of ['', '../x', 'a b', '1x', 'x.yaml']) expect(() => newStudy(name)).toThrow(UserError);
  });
});

describe('the schema for editors', () => {
  it('stands beside the studies, up to date (`alight new` writes a fresh one)', () => {
    expect(readFileSync(`${folder}study.schema.json`, 'utf8')).toBe(studySchemaText());
  });

  it('lists every input with its meaning', () => {
    const { properties } = studySchema() as { properties: { inputs: { properties: Record<string, { description: string }> } } };
    expect(Object.keys(properties.inputs.properties)).toEqual([...CATALOGUE.map((row) => row.key), 'sample']);
    for (const { key, meaning } of CATALOGUE) expect(properties.inputs.properties[key]?.description).toContain(meaning);
  });

  it('explains every place of a study', () => {
    const visit = (node: Record<string, unknown>, path: string): string[] => {
      const children = Object.entries((node.properties ?? {}) as Record<string, Record<string, unknown>>);
      return children.flatMap(([key, child]) => [
        ...(typeof child.description === 'string' || 'const' in child || '$ref' in child ? [] : [`${path}${key}`]),
        ...visit(child, `${path}${key}.`),
      ]);
    };
    expect(visit(studySchema() as Record<string, unknown>, '')).toEqual([]);
  });

  it('knows the places of settings', () => {
    const paths = studyPaths();
    expect(paths).toContain('vehicle.aerodynamics.geometry.fins.span');
    expect(paths).toContain('sensors.barometer.lag');
    expect(paths).toContain('rules.*.height');
    expect(paths).not.toContain('vehicle.body.lenght');
  });
});
