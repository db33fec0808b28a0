import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { describe, expect, test } from 'vitest';
import { OUTPUTS } from '../../src/flight/outputs.ts';
import { TRACE_COLUMNS } from '../../src/flight/trace.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();

describe('alight trace', () => {
  test('flies a numbered flight again, bit for bit as in the results file', async () => {
    expect(alight(folder, 'fly', 'thistledown.yaml', '--flights', '40', '--out', 'r').code).toBe(0);
    const table = tableFromIPC(readFileSync(join(folder, 'r', 'flights.arrow')));
    for (const flight of [1, 17, 40]) {
      const traced = JSON.parse((await alightHere(folder, 'trace', 'thistledown.yaml', String(flight), '--json')).out);
      const column = (key: string) => [...(table.getChild(key) ?? [])][flight - 1];
      for (const { key } of OUTPUTS) expect([key, traced.outputs[key]]).toEqual([key, column(key)]);
      for (const { key } of CATALOGUE) expect([key, traced.inputs[key]]).toEqual([key, column(key)]);
    }
  });

  test('the same from the results folder’s own study', async () => {
    const a = JSON.parse((await alightHere(folder, 'trace', 'thistledown.yaml', '17', '--json')).out);
    const b = JSON.parse((await alightHere(folder, 'trace', 'r/study.yaml', '17', '--json')).out);
    expect(b.outputs).toEqual(a.outputs);
  });

  test('the nominal flight has no luck in it: any seed gives the same', async () => {
    const a = JSON.parse((await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--json')).out);
    const b = JSON.parse((await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--seed', '77', '--json')).out);
    expect(a.flight).toBe('nominal');
    expect(b.outputs).toEqual(a.outputs);
    expect(a.inputs['ascent.impulseFactor']).toBe(1);
    const set = JSON.parse(
      (await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--set', 'ascent.impulseFactor=1.021', '--json')).out,
    );
    expect(set.inputs['ascent.impulseFactor']).toBe(1.021);
    expect(set.outputs.apogee).toBeGreaterThan(a.outputs.apogee + 1);
  });

  test('lists its events in order and writes its time history as CSV and as Arrow', async () => {
    const ran = alight(folder, 'trace', 'thistledown.yaml', 'nominal', '--out', 'n.csv');
    expect(ran.code).toBe(0);
    const order = [
      'liftoff',
      'liftoff recognised',
      'leaves the rail',
      'apogee recognised',
      'legs released',
      'ignition commanded',
      'landing thrust starts',
      'ascent casing leaves',
      'contact: stands',
      'landing thrust ends',
    ];
    const places = order.map((event) => ran.out.search(new RegExp(` ${event} {2}`)));
    expect(places.every((place, i) => place > (places[i - 1] ?? 0))).toBe(true);
    const csv = readFileSync(join(folder, 'n.csv'), 'utf8').trimEnd().split('\n');
    expect(csv[0].split(',').length).toBe(TRACE_COLUMNS.length);
    expect(csv[0]).toMatch(/^time \(s\),east \(m\)/);
    expect((await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--out', 'n.arrow')).code).toBe(0);
    const table = tableFromIPC(readFileSync(join(folder, 'n.arrow')));
    expect(table.numRows).toBe(csv.length - 1);
    const height = [...(table.getChild('height') ?? [])] as number[];
    expect(Math.max(...height)).toBeCloseTo(47.16, 1);
    expect(csv[101].split(',')[3]).toBe(String(height[100]));
  });

  test('does not write over a file unless forced', async () => {
    const ran = await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--out', 'n.csv');
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/n\.csv: exists already/);
    expect((await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--out', 'n.csv', '--force')).code).toBe(0);
  });

  test('refuses an ending it cannot write before flying', async () => {
    const ran = await alightHere(folder, 'trace', 'thistledown.yaml', 'nominal', '--out', 'n.xls');
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/expected \.arrow or \.csv/);
  });
});
