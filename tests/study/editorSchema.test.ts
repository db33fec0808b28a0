/** The schema as an editor uses it: the examples fit, and what is mistyped does not. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { studySchema } from '../../src/study/jsonSchema.ts';
import { newStudy } from '../../src/study/newStudy.ts';
import { type Node, unfit } from '../helpers/jsonSchema.ts';

const schema = studySchema() as Node;
const demo = parse(readFileSync('studies/thistledown.yaml', 'utf8')) as Record<string, Record<string, Record<string, unknown>>>;
/** The demo with one place replaced. */
function problems(path: readonly string[], value: unknown): string[] {
  const study = structuredClone(demo) as Record<string, unknown>;
  let holder = study;
  for (const key of path.slice(0, -1)) {
    holder[key] ??= {};
    holder = holder[key] as Record<string, unknown>;
  }
  holder[path[path.length - 1]] = value;
  return unfit(study, schema, schema);
}
const rule = Object.keys(demo.rules)[0];

describe('the schema for editors', () => {
  it.each(['thistledown', 'dandelion', 'stitchwort'])('fits %s', (name) => {
    expect(unfit(parse(readFileSync(`studies/${name}.yaml`, 'utf8')), schema, schema)).toEqual([]);
  });

  it('fits what `alight new` writes', () => {
    const [study] = newStudy('mine');
    expect(unfit(parse(study.text), schema, schema)).toEqual([]);
  });

  it.each([
    [['vehicle', 'gimbal', 'rateLimit'], 'fast', '.vehicle.gimbal.rateLimit: pattern'],
    [['vehicle', 'airframe', 'mass'], -1, '.vehicle.airframe.mass: minimum'],
    [['inputs', 'wind.sped'], 3, '.inputs.wind.sped: not allowed'],
    [['inputs', 'gyrro.bias*'], 0, '.inputs.gyrro.bias*: not allowed'],
    [['inputs', 'wind.speed'], 'windy', '.inputs.wind.speed: anyOf'],
    [['inputs', 'wind.speed'], { uniform: { low: 'little', high: '4 m/s' } }, '.inputs.wind.speed: anyOf'],
    [['inputs', 'legs.failure1'], 'maybe', '.inputs.legs.failure1: anyOf'],
    [['limits', 'radius'], 'far', '.limits.radius: anyOf'],
  ])('refuses %j: %j', (path, value, problem) => {
    expect(problems(path, value)).toEqual([problem]);
  });

  it('names the kinds of rules where one is mistyped, and nothing else', () => {
    expect(problems(['rules', rule, 'kind'], 'fixedHight')).toEqual([`.rules.${rule}.kind: enum`]);
    const { properties } = schema as { properties: { rules: { additionalProperties: { properties: { kind: { enum: string[] } } } } } };
    expect(properties.rules.additionalProperties.properties.kind.enum).toContain('fixedHeight');
  });

  it('holds a rule to the constants of its kind', () => {
    expect(problems(['rules', rule], { kind: 'fixedHeight', height: '7 m' })).toEqual([]);
    expect(problems(['rules', rule], { kind: 'fixedHeight', hight: '7 m' })).toEqual([
      `.rules.${rule}.height: missing`,
      `.rules.${rule}.hight: not allowed`,
    ]);
  });

  it.each([
    [['limits', 'radius'], 'none'],
    [['sensors', 'barometer'], 'none'],
    [['inputs', 'gyro.bias*'], { normal: { sd: '0.1 deg/s' } }],
    [['inputs', '*.scaleX'], 0],
    [['inputs', 'legs.failure1'], 'off'],
    [['vehicle', 'gimbal', 'rateLimit'], '300deg/s'],
    [['vehicle', 'gimbal', 'rateLimit'], '.5e1 rad/s'],
    [['landing', 'temperature'], { reference: '20 degC', impulsePerKelvin: '0.1 %' }],
  ])('takes %j: %j', (path, value) => {
    expect(problems(path, value)).toEqual([]);
  });

  it('tells of each input what it means and what it is when left out, in whatever way it is written', () => {
    type Entry = { description: string; default?: number; anyOf: { description: string }[] };
    const { properties } = schema as { properties: { inputs: { properties: Record<string, Entry> } } };
    for (const { key, meaning, nominal } of CATALOGUE) {
      const entry = properties.inputs.properties[key];
      expect(entry.description).toContain(meaning);
      expect(entry.description).toContain('; when left out: ');
      expect(entry.anyOf.map(({ description }) => description)).toEqual([entry.description, entry.description]);
      if (nominal !== 'study') expect(entry.default).toBe(nominal);
    }
    expect(properties.inputs.properties['airframe.mass'].description).toMatch(/when left out: vehicle\.airframe\.mass of the study$/);
    expect(properties.inputs.properties['wind.speed'].description).toMatch(/when left out: site\.windSpeed of the study$/);
  });
});
