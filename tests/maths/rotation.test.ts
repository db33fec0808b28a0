/** The rotation matrix against the quaternion product q (x) (0, v) (x) q*, written out. */
import fc from 'fast-check';
import { describe, it } from 'vitest';
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../../src/maths/rotation.ts';
import { near } from '../helpers/near.ts';

type Four = readonly [number, number, number, number];
const product = ([a, b, c, d]: Four, [w, x, y, z]: Four): Four => [
  a * w - b * x - c * y - d * z,
  a * x + b * w + c * z - d * y,
  a * y - b * z + c * w + d * x,
  a * z + b * y - c * x + d * w,
];

describe('the rotation matrix', () => {
  it('turns a vector as the quaternion does', () => {
    const part = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(part, part, part, part), fc.tuple(part, part, part), (raw, v) => {
        const length = Math.hypot(...raw);
        fc.pre(length > 0.01);
        const [w, x, y, z] = raw.map((c) => c / length);
        const turned = product(product([w, x, y, z], [0, ...v]), [w, -x, -y, -z]);
        const rows = [
          [r00(y, z), r01(w, x, y, z), r02(w, x, y, z)],
          [r10(w, x, y, z), r11(x, z), r12(w, x, y, z)],
          [r20(w, x, y, z), r21(w, x, y, z), r22(x, y)],
        ];
        rows.forEach((row, i) => {
          near(row[0] * v[0] + row[1] * v[1] + row[2] * v[2], turned[i + 1], 1e-14);
        });
      }),
      { seed: 8, numRuns: 200 },
    );
  });
});
