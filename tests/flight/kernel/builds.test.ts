/**
 * One source, two builds, the same bits: what tsc built, what asc built, and what asc built with every index checked
 * fly the same flights.
 */
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../../src/flight/flightMaker.ts';
import { builtKernel } from '../../../src/flight/kernel/file.ts';
import type { Kernel } from '../../../src/flight/kernel/kernel.ts';
import { NO_RESULT_REASONS, OUTCOMES, type OutputKey, outputIndex } from '../../../src/flight/outputs.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import { stream } from '../../../src/maths/streams.ts';
import { checkedKernel } from '../../helpers/checkedKernel.ts';
import { kitOf } from '../../helpers/oneFlight.ts';
import { randomSpringsStudy, randomStudy, wildInputs } from '../../helpers/randomStudy.ts';
import { SOURCE_KERNEL } from '../../helpers/sourceKernel.ts';
import { demoStudy, springsStudy } from '../../helpers/studyForTests.ts';

const built = builtKernel();
const checked = await checkedKernel();

const row = (): Float64Array => new Float64Array(ROW_LENGTH);
const same = (a: Float64Array, b: Float64Array): boolean => a.every((x, c) => Object.is(x, b[c]));
const out = (flown: Float64Array, key: OutputKey): number => flown[CATALOGUE.length + outputIndex(key)];

describe('the same bits', () => {
  it('in 1,000 flights of the demo', () => {
    const [theirs, ours] = [kitOf(demoStudy(), undefined, built), kitOf(demoStudy(), undefined, SOURCE_KERNEL)];
    const [a, b] = [row(), row()];
    const unlike: number[] = [];
    for (let flight = 1; flight <= 1000; flight++) {
      theirs.fly(flight, a);
      ours.fly(flight, b);
      if (!same(a, b)) unlike.push(flight);
    }
    expect(unlike).toEqual([]);
  });

  it('in 400 flights whose touchdown is simulated', () => {
    const [theirs, ours] = [kitOf(springsStudy(), undefined, built), kitOf(springsStudy(), undefined, SOURCE_KERNEL)];
    const [a, b] = [row(), row()];
    const unlike: number[] = [];
    const seen = new Set<string>();
    for (let flight = 1; flight <= 400; flight++) {
      theirs.fly(flight, a);
      ours.fly(flight, b);
      if (!same(a, b)) unlike.push(flight);
      seen.add(OUTCOMES[out(a, 'outcome')]);
    }
    expect(unlike).toEqual([]);
    for (const outcome of ['landed', 'lit too high', 'lit too low', 'leg gave way', 'tipped over']) expect(seen).toContain(outcome);
  });

  it.each([
    ['judged by rules', 'random studies', randomStudy, 'hops'],
    ['simulated', 'random springs', randomSpringsStudy, 'rebounds'],
  ] as const)('in 200 flights of as many random studies, in all three builds, touchdown %s', (_, key, make, lifts) => {
    const u = stream(key);
    const unlike: string[] = [];
    const seen = new Set<string>();
    let [lifted, stalls, noise] = [0, 0, 0];
    for (let i = 0; i < 200; i++) {
      const study = make(i, u);
      const inputs = wildInputs(study, i % 5, u);
      const luck = i % 7 === 0 ? null : `random ${i}`;
      const flown = (kernel: Kernel): Float64Array => {
        const to = row();
        kitOf(study, undefined, kernel).flyInputs(inputs, luck, to);
        return to;
      };
      const here = flown(SOURCE_KERNEL);
      if (!same(here, flown(built))) unlike.push(`${i} fast`);
      if (!same(here, flown(checked))) unlike.push(`${i} checked`);
      seen.add(OUTCOMES[out(here, 'outcome')]).add(NO_RESULT_REASONS[out(here, 'noResultReason')]);
      lifted += out(here, lifts) || 0;
      stalls += out(here, 'stalls');
      noise += Number(luck !== null);
    }
    expect(unlike).toEqual([]);
    // They went everywhere: 13 outcomes and 5 reasons there are, some of them rare.
    expect(seen.size).toBeGreaterThan(9);
    expect(lifted).toBeGreaterThan(2);
    expect(stalls).toBeGreaterThan(100);
    expect(noise).toBeGreaterThan(150);
  });

  it('whichever kit flew before with the same kernel', () => {
    const [demo, other] = [demoStudy(), randomStudy(3, stream('another'))];
    const kits = [kitOf(demo, undefined, built), kitOf(other, undefined, built), kitOf(demo, 'speed curve', built)];
    const alone = kits.map((_, i) => {
      const to = row();
      const kernel = builtKernel();
      [kitOf(demo, undefined, kernel), kitOf(other, undefined, kernel), kitOf(demo, 'speed curve', kernel)][i].fly(9, to);
      return to;
    });
    for (const i of [0, 1, 2, 1, 0, 2]) {
      const to = row();
      kits[i].fly(9, to);
      expect(same(to, alone[i]), `kit ${i}`).toBe(true);
    }
  });
});

describe('a fault', () => {
  it('names flight, seed and what went wrong', () => {
    const kit = kitOf(demoStudy({ seed: 'faulty' }), undefined, checked);
    kit.fly(1, row());
    // More legs than there is room for: an index out of range in the kernel.
    checked.parameters.plant.legCount = 100;
    expect(() => kit.fly(2, row())).toThrow(/^the kernel stopped in flight 2 of seed faulty: Index out of range/);
    checked.parameters.plant.legCount = 4;
  });
});
