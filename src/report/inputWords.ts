/**
 * The catalogue's keys as words: "accelerometer.biasX" is read "accelerometer bias X". A study file and the options
 * keep the keys.
 */

/** Where the first part of a key is not the word that people use. */
const FIRST: Readonly<Record<string, string>> = {
  ascent: 'ascent motor',
  landing: 'landing motor',
  air: 'air force',
  imu: 'inertial sensor',
  legs: 'leg',
};

/** A key that is no input, as a group's name, comes back as it is. */
export function inputWords(key: string): string {
  const [first, ...rest] = key.split('.');
  if (rest.length === 0) return key;
  const words = rest
    .join(' ')
    // A capital at the end names an axis and stays; one inside begins a word.
    .replace(/([a-z0-9])([A-Z])(?=[a-z])/g, (_, before, letter) => `${before} ${letter.toLowerCase()}`)
    .replace(/([a-z])([A-Z0-9])/g, '$1 $2');
  return `${FIRST[first] ?? first} ${words}`;
}
