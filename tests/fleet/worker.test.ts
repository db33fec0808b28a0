/** The real worker: what comes back over threads by the compiled kernel is what tsc's build flies here, bit for bit. */
import { expect, test } from 'vitest';
import { Fleet } from '../../src/fleet/fleet.ts';
import { flightsOf } from '../../src/fleet/work.ts';
import { makeKit, ROW_LENGTH, type Variation } from '../../src/flight/flightMaker.ts';
import { OUTCOMES, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
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
