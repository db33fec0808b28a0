/** What the results' tests share: a header, made-up rows, a folder that goes away. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import type { FlightsHeader } from '../../src/results/header.ts';
import { type FlightRows, FlightsWriter } from '../../src/results/writer.ts';

export const ROW_LENGTH = CATALOGUE.length + OUTPUTS.length;

export const header: FlightsHeader = {
  title: 'A study — with a dash',
  study: 'title: A study\nseed: 0\n',
  seed: '0',
  design: 'latinHypercube',
  flightsAsked: 10_000,
  firstFlight: 1,
  rules: ['fixed height', 'speed curve'],
  overrides: ['wind.speed=3 m/s'],
};

/** The folder is removed after the tests of the file that asked. */
export function scratch(): string {
  const path = mkdtempSync(join(tmpdir(), 'alight-test-'));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

/** A number of the made-up flight; NaN where something "did not happen". Every column and flight differs. */
export function made(flight: number, c: number): number {
  const x = Math.sin(flight * 12.9898 + c * 78.233);
  const input = CATALOGUE[c];
  if (input !== undefined) return input.type === 'yesNo' ? Number(x > 0.4) : x;
  const output = OUTPUTS[c - CATALOGUE.length];
  switch (output?.type) {
    case 'outcome':
      return flight % OUTCOMES.length;
    case 'reason':
      return flight % NO_RESULT_REASONS.length;
    case 'yesNo':
      return x < -0.6 ? Number.NaN : Number(x > 0.2);
    case 'count':
      return x < -0.6 ? Number.NaN : Math.round(50 * (x + 1));
    default:
      return x < -0.6 ? Number.NaN : 1e3 * x;
  }
}

export function madeRows(first: number, count: number): FlightRows {
  const columns = new Float64Array(ROW_LENGTH * count);
  for (let c = 0; c < ROW_LENGTH; c++) for (let i = 0; i < count; i++) columns[c * count + i] = made(first + i, c);
  return { first, count, columns };
}

/** A finished file of flights 1 .. total, appended in pieces of the given sizes in turn. */
export function madeFile(path: string, total: number, pieces: readonly number[] = [64], h: FlightsHeader = header): void {
  const writer = FlightsWriter.create(path, h);
  let first = 1;
  for (let turn = 0; first <= total; turn++) {
    const count = Math.min(pieces[turn % pieces.length] as number, total - first + 1);
    writer.append(madeRows(first, count));
    first += count;
  }
  writer.finish();
}
