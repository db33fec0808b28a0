/**
 * Ctrl-C, a request to end, or a terminal that goes away: the run is asked to end and keep what is flown. Pressing
 * Ctrl-C again ends the process at once.
 */

export interface Interrupt {
  readonly signal: AbortSignal;
  /** Gives the signals back their usual meaning. */
  release(): void;
}

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
/** ms within which a second signal is the first one's echo: some send it to the process and to its group. */
const ECHO = 500;

/** @param atOnce puts the terminal in order before the process ends at once */
export function onInterrupt(atOnce: () => void): Interrupt {
  const controller = new AbortController();
  let first = 0;
  const handler = (signal: NodeJS.Signals): void => {
    if (!controller.signal.aborted) {
      first = performance.now();
      controller.abort();
      process.stderr.write('\nending after the flights in the air; press again to stop at once\n');
      // A lost terminal may hang up more than once: that is never a wish to lose the flights.
    } else if (signal !== 'SIGHUP' && performance.now() - first > ECHO) {
      atOnce();
      process.exit(130);
    }
  };
  for (const signal of SIGNALS) process.on(signal, handler);
  return {
    signal: controller.signal,
    release: () => {
      for (const signal of SIGNALS) process.off(signal, handler);
    },
  };
}
