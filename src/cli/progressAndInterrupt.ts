/**
 * A run of flights as a person at a terminal watches it: its progress shows, and Ctrl-C ends it cleanly. Flies nothing
 * itself.
 */
import { printable } from '../printable.ts';
import { onInterrupt } from './interrupt.ts';
import { type ProgressShown, showProgress } from './progress.ts';

/** What a run needs to be watched. */
export interface ProgressAndInterrupt {
  readonly stopSignal: AbortSignal;
  readonly onProgress: ProgressShown['update'];
  readonly onWait: (line: string) => void;
}

/**
 * @param quiet show no progress   @param what is counted; flights when left out
 * @returns what the run returns, with the progress cleared away
 */
export async function withProgressAndInterrupt<T>(
  quiet: boolean,
  run: (watch: ProgressAndInterrupt) => Promise<T>,
  what?: string,
): Promise<T> {
  const progress = showProgress(quiet, what);
  const interrupt = onInterrupt(progress.end);
  try {
    return await run({
      stopSignal: interrupt.signal,
      onProgress: progress.update,
      onWait: (line) => process.stderr.write(`${printable(line)}\n`),
    });
  } finally {
    progress.end();
    interrupt.release();
  }
}
