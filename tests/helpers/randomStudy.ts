/**
 * Studies that use everything the kernel has, drawn at random about the demo; and input vectors of which some are
 * anywhere in their bounds.
 */
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import type { Stream } from '../../src/maths/streams.ts';
import { nominalInputs } from '../../src/study/nominal.ts';
import type { RuleChoice, Study } from '../../src/study/study.ts';
import { demoStudy } from './studyForTests.ts';

const DEMO = demoStudy();
/** Constants near what lands the demo. */
const RULES: readonly Pick<RuleChoice, 'kind' | 'constants'>[] = [
  { kind: 'fixedHeight', constants: { height: 7 } },
  { kind: 'apogeeLine', constants: { c0: -3.4, c1: 0.24 } },
  { kind: 'speedCurve', constants: { c0: 11.04, c1: -1.6, c2: 0.0623 } },
  { kind: 'predictedStop', constants: { margin: -4, speed: 2 } },
];
/** A landing motor whose sustain saws across the weight: vehicles that stand are lifted off again. */
const HOPPING = { time: [0, 0.05, 0.15, 0.64, 0.79, 2, 2.5, 3, 3.5, 6], thrust: [0, 30, 44, 37.7, 9, 9, 10.6, 9, 10.4, 10.4] };

/** @param number which: rules and options turn with it */
export function randomStudy(number: number, u: Stream): Study {
  const half = (): boolean => u() < 0.5;
  const { sensors, phases, computer, vehicle, site, control, landing, limits } = DEMO;
  return demoStudy({
    seed: `random study ${number}`,
    rules: [{ ...DEMO.rules[0], ...RULES[number % RULES.length], insideTick: half(), lead: half() ? 0.11 : 0 }],
    sensors: { ...sensors, rounding: half(), barometer: half() ? { noise: 0.02, lag: 0.1, speedGain: 0.4, heightGain: 0.6 } : null },
    phases: { ...phases, replay: half() },
    computer: {
      ...computer,
      rate: [50, 100, 200][Math.floor(3 * u())],
      stallRate: half() ? 3 : 0.15,
      afterStall: half() ? 'oneTick' : computer.afterStall,
    },
    control: { ...control, torqueScheduling: half() ? null : control.torqueScheduling },
    vehicle: {
      ...vehicle,
      legs: { ...vehicle.legs, count: 3 + Math.floor(6 * u()), release: half() ? { kind: 'atHeight', height: 20 } : vehicle.legs.release },
    },
    site: { ...site, groundSlope: half() ? 0.2 * u() : 0, gustScale: 2 * u() },
    landing: half() ? { ...landing, curve: HOPPING } : landing,
    limits: { ...limits, time: 60, radius: half() ? 30 : null },
    substeps: 1 + Math.floor(3 * u()),
  });
}

/** The same with its touchdown simulated: legs and ground at random, some of them slippery, weak or limited. */
export function randomSpringsStudy(number: number, u: Stream): Study {
  const study = randomStudy(number, u);
  const half = (): boolean => u() < 0.5;
  const { legs } = study.vehicle;
  return {
    ...study,
    touchdown: { model: 'springs', step: half() ? 0.0005 : 0.001 },
    ground: { friction: 0.05 + 1.5 * u(), stiffness: half() ? 5000 : null },
    vehicle: {
      ...study.vehicle,
      legs: { ...legs, stiffness: 300 + 500 * u(), damping: 3 + 12 * u(), strength: half() ? 20 + 100 * u() : null },
    },
    limits: { ...study.limits, sink: half() ? 4 : null, slide: half() ? 2 : null, tilt: null },
  };
}

/** Nominal, but for `wild` inputs anywhere in their bounds. */
export function wildInputs(study: Study, wild: number, u: Stream): Float64Array {
  const inputs = nominalInputs(study);
  for (let i = 0; i < wild; i++) {
    const column = Math.floor(u() * CATALOGUE.length);
    const { low, high, type } = CATALOGUE[column];
    inputs[column] = type === 'yesNo' ? Number(u() < 0.5) : low + u() * (high - low);
  }
  return inputs;
}
