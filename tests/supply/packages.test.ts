/** What the program is made of besides our own code: licences, no code at installation, a reason for each package. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { ACCEPTED, packages } from './packages.mjs';

const text = (name: string): string => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8');

describe('packages', () => {
  const all = packages();

  test('what comes with the program has a licence that naming it keeps', () => {
    const shipped = all.filter(({ development }) => !development);
    expect(shipped.length).toBeGreaterThan(20);
    expect(shipped.filter(({ licence }) => !ACCEPTED.includes(licence))).toEqual([]);
  });

  test('every package names a licence', () => {
    expect(all.filter(({ licence }) => licence === 'none named')).toEqual([]);
  });

  test('none runs a script when it is installed', () => {
    expect(all.filter(({ scripts }) => scripts)).toEqual([]);
  });

  test('each direct one, and no other, has its reason in DEVELOPERS.md', () => {
    const { dependencies, devDependencies } = JSON.parse(text('package.json'));
    const named = [...text('DEVELOPERS.md').matchAll(/^\| `([^`]+)` \| (?:program|development) \| \S.* \|$/gm)].map(([, name]) => name);
    expect(named.toSorted()).toEqual([...Object.keys(dependencies), ...Object.keys(devDependencies)].toSorted());
  });
});
