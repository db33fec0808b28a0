import { expect, test } from 'vitest';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { inputWords } from '../../src/report/inputWords.ts';

test.each([
  ['accelerometer.biasX', 'accelerometer bias X'],
  ['ascent.impulseFactor', 'ascent motor impulse factor'],
  ['air.axialNoseFactor', 'air force axial nose factor'],
  ['imu.offsetY', 'inertial sensor offset Y'],
  ['legs.failure1', 'leg failure 1'],
  ['alignment.y', 'alignment y'],
  ['wind', 'wind'],
])('%s reads "%s"', (key, words) => {
  expect(inputWords(key)).toBe(words);
});

test('no two inputs read alike, and none shows its key', () => {
  const words = CATALOGUE.map(({ key }) => inputWords(key));
  expect(new Set(words).size).toBe(CATALOGUE.length);
  expect(words.filter((text) => /\.|[a-z][A-Z]/.test(text))).toEqual([]);
});
