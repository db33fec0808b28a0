/** What happens when nobody takes what the program prints any more. Prints nothing else. */

import { UserError } from '../errors.ts';
import { fileFault } from '../results/fileFault.ts';

/** A pipe whose reader went away, and a terminal that is gone. */
const GONE = ['EPIPE', 'EIO'];

/**
 * A reader of the results that goes away (`| head`) ends the output, not the program with a stack; a disk that is full
 * is said. Without a reader of progress and warnings the run goes on: flights must not be lost for want of a listener.
 */
export function guardStreams(): void {
  process.stderr.on('error', () => undefined);
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (GONE.includes(error.code ?? '')) process.exit(process.exitCode ?? 0);
    const fault = fileFault(error, 'cannot write', 'standard output');
    if (!(fault instanceof UserError)) throw error;
    process.stderr.write(`${fault.message}\n`);
    process.exit(2);
  });
}
