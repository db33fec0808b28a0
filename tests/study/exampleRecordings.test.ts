/**
 * The recordings in studies/ are made up, by this: renew them with
 * `npx vitest run --config tests/vitest.config.ts tests/study/exampleRecordings.test.ts -u`.
 */
import { expect, it } from 'vitest';
import { reboundHeight } from '../../src/analysis/measure/rebound.ts';
import { readCurve } from '../../src/study/curve.ts';
import { Findings } from '../../src/study/findings.ts';
import { firingsText, madeFiring, madeStill, stillText } from '../helpers/madeRecordings.ts';
import { makeNormalNoise } from '../helpers/normals.ts';
import { folderOf } from './plainStudy.ts';

/** The landing motor of the stitchwort study. */
const STITCHWORT = [
  [0, 0],
  [0.05, 39],
  [0.15, 57.2],
  [0.64, 49],
  [0.79, 13.8],
  [0.99, 12.5],
  [4.2, 10],
  [4.55, 0],
];

it('five firings of the stitchwort study’s landing motor', async () => {
  const curve = await readCurve(STITCHWORT, [], folderOf({}), new Findings());
  if (curve === undefined) throw new Error('no curve');
  const stand = { rate: 80, noise: 0.04, tare: 2.2, lost: 0.38, before: 1, after: 1.5, count: 0.0098 };
  const firings = [
    [0.991, 1.012, 0.096],
    [1.008, 0.985, 0.104],
    [1.015, 0.978, 0.088],
    [0.978, 1.031, 0.131],
    [1.002, 1.004, 0.099],
  ].map(([impulseFactor, burnTimeFactor, delay], k) =>
    madeFiring(curve, { impulseFactor, burnTimeFactor, delay }, stand, `stitchwort/${k + 1}`),
  );
  await expect(`# Five static firings of the landing motor of the stitchwort study; made up.\n${firingsText(firings)}`).toMatchFileSnapshot(
    '../../studies/stitchwort-firings.csv',
  );
});

it('five drops of the stitchwort study’s vehicle on its legs', async () => {
  const normal = makeNormalNoise('stitchwort/drops');
  const [mass, stiffness, damping, legs] = [1.28, 600, 9, 4];
  const ratio = damping / (2 * Math.sqrt((stiffness * mass) / legs));
  const rows = [300, 400, 400, 500, 600].map((drop) => {
    const rebound = 1000 * reboundHeight(ratio, Math.sqrt((legs * stiffness) / mass), drop / 1000) + 2 * normal();
    return `${drop},${rebound.toFixed(0)}`;
  });
  const head = '# Five drops of the stitchwort study’s vehicle, 1.28 kg on four legs of 600 N/m, filmed before a ruler; made up.';
  await expect(`${head}\ndrop [mm],rebound [mm]\n${rows.join('\n')}\n`).toMatchFileSnapshot('../../studies/stitchwort-drops.csv');
});

it('forty seconds of the stitchwort study’s sensors lying still', async () => {
  const still = madeStill(
    {
      rate: 100,
      seconds: 40,
      accelerometer: { mean: [9.80665 + 0.021, 0.034, -0.012], density: 0.0015, step: 0.0048, drift: 0.0002 },
      gyro: { mean: [0.004, -0.011, 0.002], density: 8.7e-5, step: 0.00053, drift: 1e-5 },
      jitter: 0.00004,
      dropped: new Set([1200, 1201, 3077]),
    },
    'stitchwort/still',
  );
  await expect(
    `# The flight computer of the stitchwort study standing still, nose up; its z axis lies along the vehicle; made up.\n${stillText(still)}`,
  ).toMatchFileSnapshot('../../studies/stitchwort-still.csv');
});
