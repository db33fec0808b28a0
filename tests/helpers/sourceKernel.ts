/**
 * The kernel as tsc built it: slower than the compiled one, for tests and debuggers. There is one; its flights come one
 * after another. From dist/, for through the test runner's own loader each call between modules costs as much as a
 * step of the flight.
 */
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Kernel } from '../../src/flight/kernel/kernel.ts';

const source: typeof import('../../src/flight/kernel/entry.ts') = await import(pathToFileURL(resolve('dist/flight/kernel/entry.js')).href);

export const SOURCE_KERNEL: Kernel = { parameters: source.parameters(), record: source.record(), fly: source.fly, user: null };
