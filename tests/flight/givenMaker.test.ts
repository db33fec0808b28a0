/** Flights of given inputs are those of a kit with the same inputs, luck and rule. */
import { expect, it } from 'vitest';
import { makeKit, ROW_LENGTH } from '../../src/flight/flightMaker.ts';
import { makeGivenKit } from '../../src/flight/givenMaker.ts';
import { builtKernel } from '../../src/flight/kernel/file.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { makeSampler } from '../../src/sampling/sampler.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

it('each flight has its inputs, its luck and its setting, in the order of the settings; a row has what was asked for', () => {
  const study = demoStudy({ flights: 10 });
  const plan = { kind: 'study', flights: 10 } as const;
  const sampler = makeSampler(study, plan);
  const inputs = new Float64Array(4 * CATALOGUE.length);
  for (let i = 0; i < 4; i++) sampler.draw(i + 1, inputs.subarray(i * CATALOGUE.length, (i + 1) * CATALOGUE.length));
  const luck = Float64Array.of(5, 6, 5, 7);
  const settings = [{ rule: study.rules[0].name }, { rule: study.rules[1].name, constants: { lead: 0.2 } }];
  // An output, an input and the last, out of order.
  const columns = [CATALOGUE.length, 3, ROW_LENGTH - 1];
  const kernel = builtKernel();
  const given = makeGivenKit(study, { settings, inputs, luck, noise: 'here', columns }, kernel);
  const kits = settings.map((setting) => makeKit(study, { ...setting, plan }, builtKernel()));
  for (const flight of [1, 3, 2, 4]) {
    const [row, expected] = [new Float64Array(columns.length), new Float64Array(ROW_LENGTH)];
    given.fly(flight, row);
    const own = inputs.subarray((flight - 1) * CATALOGUE.length, flight * CATALOGUE.length);
    kits[flight <= 2 ? 0 : 1].flyInputs(own, `${luck[flight - 1]}/here`, expected);
    expect([...row]).toEqual(columns.map((column) => expected[column]));
  }
});
