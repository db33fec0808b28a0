/**
 * How fast it is: flights per second on one thread and on all, the cost of a derivative, of a results row, and the same
 * equations through a general-purpose integrator (odex) in the same run. Seeded, so that every run flies the same. On a
 * shared machine only the ratios within one run mean anything.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import odex from 'odex';
import { flyStudy } from '../../dist/analysis/fly/flyStudy.js';
import { flightParameters, makeKit, ROW_LENGTH } from '../../dist/flight/flightMaker.js';
import { builtKernel } from '../../dist/flight/kernel/file.js';
import { FlightLoop } from '../../dist/flight/loop.js';
import { loadAt } from '../../dist/plant/mass.js';
import { FREE, rates } from '../../dist/plant/rates.js';
import { addScaled, addWeighted, ForceAndMoment, Load, TrueState } from '../../dist/plant/state.js';
import { openStudy } from '../../dist/study/load.js';
import { nominalInputs } from '../../dist/study/nominal.js';

const STUDY = 'studies/thistledown.yaml';
const KEYS = ['rx', 'ry', 'rz', 'vx', 'vy', 'vz', 'qw', 'qx', 'qy', 'qz', 'wx', 'wy', 'wz', 'd1', 'd2'];

const seconds = (work) => {
  const start = performance.now();
  work();
  return (performance.now() - start) / 1000;
};
const least = (times, work) => Math.min(...Array.from({ length: times }, () => seconds(work)));
const line = (label, value) => console.log(`${label.padEnd(58)}${value}`);

const opened = await openStudy(STUDY);
const { study } = opened;
const rule = study.rules[0].name;
const kit = makeKit(study, { rule, plan: { kind: 'study', flights: study.flights } }, builtKernel());
const row = new Float64Array(ROW_LENGTH);

// One thread, in this process, warm.
const many = (from, count) => {
  for (let i = from; i < from + count; i++) kit.fly(i, row);
};
many(1, 600);
const single = 1000 / least(4, () => many(1, 1000));
line('flights/s in one thread (kernel alone)', single.toFixed(0));

// The fleet, with its results on disk.
const folder = mkdtempSync(join(tmpdir(), 'alight-bench-'));
try {
  const rate = async (threads, flights) => {
    const opening = await openStudy(STUDY, { set: [`flights=${flights}`] });
    const out = join(folder, `${threads}`);
    const { run } = await flyStudy(opening, { threads, out, force: true });
    return { ...run, bytes: statSync(join(out, 'flights.arrow')).size };
  };
  const one = await rate(1, 4000);
  const all = await rate(availableParallelism(), 4000 * availableParallelism());
  line('flights/s, fleet of one thread, results on disk', one.flightsPerSecond.toFixed(0));
  line(`flights/s, fleet of ${all.threads} threads, results on disk`, all.flightsPerSecond.toFixed(0));
  line('  ratio', (all.flightsPerSecond / one.flightsPerSecond).toFixed(2));
  line('results, MB/s', (all.bytes / all.seconds / 1e6).toFixed(2));
} finally {
  rmSync(folder, { recursive: true });
}

// One derivative, in tsc's build, in a burn: falling, turning, gimbal deflected.
const loop = new FlightLoop();
const setup = flightParameters(study, study.rules[0], nominalInputs(study), null);
loop.fly(setup, null);
const p = setup.plant;
const { held } = loop.motion;
const burns = { ascentStart: 0, landingStart: 0, ascentPiece: p.ascent.curve.points - 1, landingPiece: 2, casingAboard: false };
const load = new Load();
const s = new TrueState();
Object.assign(s, {
  rz: 8,
  vx: 1,
  vy: -0.5,
  vz: -15,
  qw: 0.5,
  qx: -0.52,
  qy: -0.5,
  qz: -0.48,
  wx: 1,
  wy: 0.2,
  wz: -0.1,
  d1: 0.01,
  d2: -0.02,
});
const k = new TrueState();
const sum = new ForceAndMoment();
loadAt(load, p, burns, 0.3);
const derivatives = 2_000_000;
const perDerivative = least(4, () => {
  for (let i = 0; i < derivatives; i++) {
    s.wx = 1 + i * 1e-9;
    rates(k, s, load, held, p, FREE, sum);
  }
});
line('ns per derivative (forces, moments, rigid body)', ((perDerivative / derivatives) * 1e9).toFixed(1));

// The same equations, a fifth of a second of that burn, through the kernel's RK4 and through odex at a like accuracy.
const span = 0.2;
const begin = structuredClone(s);
const rk4 = (steps) => {
  const x = Object.assign(new TrueState(), begin);
  const [k1, k2, k3, k4, stage] = Array.from({ length: 5 }, () => new TrueState());
  const h = span / steps;
  for (let i = 0; i < steps; i++) {
    const t = 0.3 + i * h;
    const at = (time, state, out) => {
      loadAt(load, p, burns, time);
      rates(out, state, load, held, p, FREE, sum);
    };
    at(t, x, k1);
    addScaled(stage, x, h / 2, k1);
    at(t + h / 2, stage, k2);
    addScaled(stage, x, h / 2, k2);
    at(t + h / 2, stage, k3);
    addScaled(stage, x, h, k3);
    at(t + h, stage, k4);
    addWeighted(x, x, h, k1, k2, k3, k4);
  }
  return x;
};
const scratch = new TrueState();
const general = (tolerance) => {
  const solver = new odex.Solver(KEYS.length);
  solver.absoluteTolerance = tolerance;
  solver.relativeTolerance = tolerance;
  const f = (t, y) => {
    KEYS.forEach((key, i) => {
      scratch[key] = y[i];
    });
    loadAt(load, p, burns, t);
    rates(k, scratch, load, held, p, FREE, sum);
    return KEYS.map((key) => k[key]);
  };
  const { y } = solver.solve(
    f,
    0.3,
    KEYS.map((key) => begin[key]),
    0.3 + span,
  );
  return y;
};
const exact = general(1e-12);
const error = (y) => Math.abs(y[5] - exact[5]);
const steps = span * study.computer.rate;
const tolerance =
  [1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9].find((tol) => error(general(tol)) <= error(KEYS.map((key) => rk4(steps)[key]))) ?? 1e-10;
const repeat = (work) => () => {
  for (let i = 0; i < 400; i++) work();
};
const ours = least(
  4,
  repeat(() => rk4(steps)),
);
const theirs = least(
  4,
  repeat(() => general(tolerance)),
);
line(
  `error in speed after ${span} s: RK4 at ${study.computer.rate} Hz, odex at ${tolerance}`,
  `${error(KEYS.map((key) => rk4(steps)[key])).toExponential(1)}, ${error(general(tolerance)).toExponential(1)} m/s`,
);
line('time of odex over time of RK4 on the same equations', (theirs / ours).toFixed(1));
