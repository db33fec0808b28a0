import { afterEach, expect, test, vi } from 'vitest';
import { onInterrupt } from '../../src/cli/interrupt.ts';

afterEach(() => vi.restoreAllMocks());

/** Stands in for the end of the process, the words to a person and the clock. */
function watched() {
  const exit = vi.spyOn(process, 'exit').mockImplementation(() => {
    throw new Error('exit');
  });
  vi.spyOn(process.stderr, 'write').mockReturnValue(true);
  const clock = vi.spyOn(performance, 'now').mockReturnValue(1000);
  const atOnce = vi.fn();
  return { exit, clock, atOnce, interrupt: onInterrupt(atOnce) };
}

test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)('%s asks the run to end', (signal) => {
  const { exit, interrupt } = watched();
  expect(interrupt.signal.aborted).toBe(false);
  process.emit(signal, signal);
  expect([interrupt.signal.aborted, exit.mock.calls.length]).toEqual([true, 0]);
  interrupt.release();
});

test('pressed again it ends at once, the terminal put in order first', () => {
  const { clock, atOnce, exit, interrupt } = watched();
  process.emit('SIGINT', 'SIGINT');
  clock.mockReturnValue(3000);
  expect(() => process.emit('SIGINT', 'SIGINT')).toThrow('exit');
  expect(exit).toHaveBeenCalledWith(130);
  expect(atOnce.mock.invocationCallOrder[0]).toBeLessThan(exit.mock.invocationCallOrder[0] as number);
  interrupt.release();
});

test('the echo of a signal, and a terminal that hangs up again, lose nothing', () => {
  const { clock, exit, interrupt } = watched();
  process.emit('SIGTERM', 'SIGTERM');
  process.emit('SIGTERM', 'SIGTERM');
  clock.mockReturnValue(9000);
  process.emit('SIGHUP', 'SIGHUP');
  expect(exit).not.toHaveBeenCalled();
  interrupt.release();
  expect(process.listenerCount('SIGHUP')).toBe(0);
});
