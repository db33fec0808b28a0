/** The real worker: what comes back over threads by the compiled kernel is what tsc's build flies here, bit for bit. */
import { expect, test } from 'vitest';
import { Fleet } from '../../src/fleet/fleet.ts';
import { flightsOf } from '../../src/fleet/work.ts';
import { makeKit, ROW_LENGTH, type Variation } from '../../src/flight/flightMaker.ts';
import { OUTCOMES, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { resolvedYaml } from '../../src/study/resolved.ts';
import { studyHash } from '../../src/study/studyHash.ts';
import { SOURCE_KERNEL } from '../helpers/sourceKernel.ts';
import { demoStudy } from '../helpers/studyForTests.ts';
import { bytes, flown } from './setUp.ts';

test('flies the study’s own flights', async () => {
  const study = demoStudy();
  const rule = study.rules[0]?.name ?? '';
  const variation: Variation = { rule, plan: { kind: 'study', flights: 100 } };
  const kit = makeKit(study, variation, SOURCE_KERNEL);
  const here = Array.from({ length: 12 }, (_, i) => {
    const row = new Float64Array(ROW_LENGTH).fill(Number.NaN);
    kit.fly(5 + i, row);
    return row;
  });
  const fleet = new Fleet({ threads: 2, chunk: 5 });
  const { rows, report } = await flown(fleet, flightsOf(study, variation), 12, { first: 5 });
  await expect(flown(fleet, flightsOf(study, { ...variation, rule: 'no such rule' }), 1)).rejects.toThrow(/the flights cannot be prepared/);
  await fleet.close();
  expect(report.lost).toEqual([]);
  expect(bytes(rows).equals(bytes(here))).toBe(true);
  expect(rows.every((row) => OUTCOMES[row[CATALOGUE.length + outputIndex('outcome')] ?? -1] !== undefined)).toBe(true);
  expect(new Set(rows.map((row) => row[0])).size).toBe(12);
});

test('a flight that the kernel stops in is lost with its number, the seed and the study’s hash', async () => {
  // No study that was read has half a sub-step: the kernel's parameters refuse it.
  const study = demoStudy({ seed: 'faulty', substeps: 1.5 });
  const fleet = new Fleet({ threads: 1, chunk: 2 });
  const { report } = await flown(fleet, flightsOf(study, { rule: study.rules[0].name, plan: { kind: 'study', flights: 2 } }), 2);
  await fleet.close();
  const hash = studyHash(resolvedYaml(study));
  const why = (flight: number): string =>
    `the kernel stopped in flight ${flight} of seed faulty: substeps: 1.5 is no whole number of 32 bits (study ${hash})`;
  expect(report.lost.map(({ reason }) => reason)).toEqual([why(1), why(2)]);
});
