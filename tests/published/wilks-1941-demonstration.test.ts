/**
 * S. S. Wilks, Determination of sample sizes for setting tolerance limits, Annals of Mathematical Statistics 12 (1941)
 * 91-96: 59, 93, 124 ... trials show 95 % with 95 % confidence with 0, 1, 2 ... failures. The tables of success runs
 * and of allowed failures (as in J. M. Hanson and B. B. Beard, NASA/TP-2010-216447, whose own table was not seen) were
 * recomputed with scipy 1.17.1; the rows .95/.95 and .90/.90 were also seen in public documents.
 */
import { describe, expect, it } from 'vitest';
import { trialsToDemonstrate } from '../../src/statistics/proportions/demonstration.ts';

describe('success runs', () => {
  const reliabilities = [0.8, 0.85, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999];

  it.each([
    [0.5, [4, 5, 7, 14, 35, 69, 139, 693]],
    [0.6, [5, 6, 9, 18, 46, 92, 183, 916]],
    [0.8, [8, 10, 16, 32, 80, 161, 322, 1609]],
    [0.9, [11, 15, 22, 45, 114, 230, 460, 2302]],
    [0.95, [14, 19, 29, 59, 149, 299, 598, 2995]],
    [0.99, [21, 29, 44, 90, 228, 459, 919, 4603]],
  ])('confidence %d', (confidence, expected) => {
    expect(reliabilities.map((reliability) => trialsToDemonstrate(reliability, confidence, 0))).toEqual(expected);
  });
});

describe('0 to 10 failures allowed', () => {
  it.each([
    [0.9, 0.9, [22, 38, 52, 65, 78, 91, 104, 116, 128, 140, 152]],
    [0.95, 0.9, [45, 77, 105, 132, 158, 184, 209, 234, 258, 282, 306]],
    [0.99, 0.9, [230, 388, 531, 667, 798, 926, 1051, 1175, 1297, 1418, 1538]],
    [0.95, 0.95, [59, 93, 124, 153, 181, 208, 234, 260, 286, 311, 336]],
    [0.99, 0.95, [299, 473, 628, 773, 913, 1049, 1182, 1312, 1441, 1568, 1693]],
    [0.9973, 0.9, [852, 1440, 1970, 2473, 2959, 3433, 3899, 4358, 4811, 5259, 5704]],
    [0.9973002, 0.9, [852, 1440, 1970, 2473, 2959, 3434, 3899, 4358, 4811, 5260, 5704]],
    [0.99865, 0.9, [1705, 2880, 3941, 4947, 5920, 6868, 7800, 8717, 9624, 10521, 11410]],
    [0.9986501, 0.9, [1705, 2881, 3942, 4948, 5920, 6869, 7800, 8718, 9624, 10522, 11411]],
  ])('reliability %d, confidence %d', (reliability, confidence, expected) => {
    expect(expected.map((_, failures) => trialsToDemonstrate(reliability, confidence, failures))).toEqual(expected);
  });
});
