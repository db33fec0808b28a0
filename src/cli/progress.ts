/** How far a run is: a bar on a terminal, a quiet line at each tenth elsewhere. Writes to standard error only. */
import { SingleBar } from 'cli-progress';
import { count, duration } from '../report/words.ts';

export interface ProgressShown {
  update(progress: { done: number; limit: number; rate: number; secondsLeft: number }): void;
  end(): void;
}

/** @param quiet show nothing at all   @param what is counted */
export function showProgress(quiet: boolean, what = 'flights'): ProgressShown {
  if (quiet) return { update: () => undefined, end: () => undefined };
  return process.stderr.isTTY ? terminalBar(what) : quietLines(what);
}

function terminalBar(what: string): ProgressShown {
  const bar = new SingleBar({
    format: `  {bar} {percentage} %  {value}/{total} ${what}  {rate} ${what}/s  {left} left`,
    barCompleteChar: '█',
    barIncompleteChar: '░',
    stream: process.stderr,
    hideCursor: true,
    clearOnComplete: true,
    barsize: 30,
  });
  let started = false;
  return {
    update: ({ done, limit, rate, secondsLeft }) => {
      const payload = { rate: Math.round(rate), left: Number.isFinite(secondsLeft) ? duration(secondsLeft) : '?' };
      if (!started) bar.start(limit, done, payload);
      started = true;
      bar.setTotal(limit);
      bar.update(done, payload);
    },
    end: () => {
      if (started) bar.stop();
    },
  };
}

function quietLines(what: string): ProgressShown {
  let tenth = 0;
  return {
    update: ({ done, limit, rate, secondsLeft }) => {
      const now = Math.floor((10 * done) / Math.max(1, limit));
      if (now <= tenth) return;
      tenth = now;
      const left = Number.isFinite(secondsLeft) ? `, ${duration(secondsLeft)} left` : '';
      // Flights that were found, and not flown, come at no rate.
      const pace = rate > 0 ? `, ${Math.round(rate)} ${what}/s${left}` : '';
      process.stderr.write(`${count(done)} of ${count(limit)} ${what}${pace}\n`);
    },
    end: () => undefined,
  };
}
