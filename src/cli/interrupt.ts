/** Ctrl-C: the first asks the run to end and keep what is flown, the second ends the process at once. */

export interface Interrupt {
  readonly signal: AbortSignal;
  /** Gives Ctrl-C back its usual meaning. */
  release(): void;
}

export function onInterrupt(): Interrupt {
  const controller = new AbortController();
  const handler = (): void => {
    if (controller.signal.aborted) process.exit(130);
    process.stderr.write('\nending after the flights in the air; press again to stop at once\n');
    controller.abort();
  };
  process.on('SIGINT', handler);
  process.on('SIGTERM', handler);
  return {
    signal: controller.signal,
    release: () => {
      process.off('SIGINT', handler);
      process.off('SIGTERM', handler);
    },
  };
}
