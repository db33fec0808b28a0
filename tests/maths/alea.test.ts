/** The kernel's own recurrence against the generator that seeds it. */
import seedrandom from 'seedrandom';
import { expect, it } from 'vitest';
import { Alea } from '../../src/maths/alea.ts';
import { noiseSeed } from '../../src/maths/streams.ts';

it('draws what seedrandom draws, a million times over, in the middle of each cell', () => {
  const key = '7/noise/1/inertial';
  const theirs = seedrandom.alea(key);
  const ours = new Alea();
  ours.start(noiseSeed(key));
  let different = 0;
  for (let i = 0; i < 1_000_000; i++) if (ours.next() !== theirs.quick() + 2 ** -33) different++;
  expect(different).toBe(0);
});

it('starts anew, whatever was drawn before', () => {
  const alea = new Alea();
  const seed = noiseSeed('a');
  alea.start(seed);
  const first = alea.next();
  for (let i = 0; i < 10; i++) alea.next();
  alea.start(seed);
  expect(alea.next()).toBe(first);
});
