/**
 * One session for all the flying of a command: progress over what was announced, facts once, several works, losses by
 * name.
 */
import { describe, expect, test } from 'vitest';
import { flying, type Progress, Session } from '../../src/fleet/session.ts';
import { STAND_IN, told } from './setUp.ts';

const options = { threads: 2, workerFile: STAND_IN };
const ignore = () => undefined;

describe('a session', () => {
  test('counts up to what was announced, over all stretches and works, with a rate and the time left', async () => {
    const seen: Progress[] = [];
    await flying({ ...options, onProgress: (p) => seen.push(p) }, async (session) => {
      session.announce(250);
      await session.fly(told({ slow: 1 }), { count: 150, onBatch: ignore });
      await session.fly(told({ slow: 1 }), { first: 151, count: 100, onBatch: ignore });
      expect(session.flown).toBe(250);
    });
    expect(seen.at(-1)).toMatchObject({ done: 250, limit: 250, secondsLeft: 0 });
    expect(seen.every((p, i) => i === 0 || p.done > seen[i - 1].done)).toBe(true);
    const middle = seen[Math.floor(seen.length / 2)];
    expect(middle.limit).toBe(250);
    expect(middle.rate).toBeGreaterThan(0);
    // Two threads at 1 ms a flight cannot be faster than 2,000 a second (bursts at hand-over: allow for one more
    // chunk).
    expect(middle.rate).toBeLessThan(4000);
    expect(middle.secondsLeft).toBeCloseTo((250 - middle.done) / middle.rate, 12);
  });

  test('takes what was not announced as announced when it is flown', async () => {
    const seen: Progress[] = [];
    await flying({ ...options, onProgress: (p) => seen.push(p) }, async (session) => {
      session.announce(10);
      await session.fly(told(), { count: 30, onBatch: ignore });
    });
    expect(seen.at(-1)).toMatchObject({ done: 30, limit: 30 });
  });

  test('says once how the flying went, and names the work a lost flight was of', async () => {
    await flying(options, async (session) => {
      expect(session.facts()).toMatchObject({ flightsPerSecond: 0, seconds: 0 });
      await session.fly(told(), { count: 20, onBatch: ignore });
      await session.fly({ ...told({ throws: 3 }), name: 'the other' }, { count: 20, onBatch: ignore });
      const { seconds, threads, flightsPerSecond, node } = session.facts();
      expect({ threads, node }).toEqual({ threads: 2, node: process.version });
      expect(flightsPerSecond).toBeCloseTo(40 / seconds, 9);
      expect(session.lost).toEqual([{ work: 'the other', flight: 3, reason: 'flight 3 went wrong' }]);
    });
  });

  test('ends every stretch when it is stopped, and keeps what was flown', async () => {
    const stop = new AbortController();
    await flying({ ...options, stopSignal: stop.signal }, async (session) => {
      const first = await session.fly(told(), { count: 1000, onBatch: ({ first: at }) => (at > 100 ? stop.abort() : undefined) });
      expect(first.stoppedBy).toBe('interrupted');
      expect(session.flown).toBe(first.flown);
      expect((await session.fly(told(), { count: 5, onBatch: ignore })).flown).toBe(0);
    });
  });

  test('is closed when what it flies for throws', async () => {
    let kept: Session | null = null;
    await expect(
      flying(options, async (session) => {
        kept = session;
        throw new Error('no more questions');
      }),
    ).rejects.toThrow('no more questions');
    expect(kept).toBeInstanceOf(Session);
    await expect((kept as unknown as Session).fly(told(), { count: 1, onBatch: ignore })).rejects.toThrow('this fleet is closed');
  });
});
