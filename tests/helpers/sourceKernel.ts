/** The kernel as tsc built it: slower, for tests and debuggers. There is one; its flights come one after another. */
import * as source from '../../src/flight/kernel/entry.ts';
import type { Kernel } from '../../src/flight/kernel/kernel.ts';

export const SOURCE_KERNEL: Kernel = { parameters: source.parameters(), record: source.record(), fly: source.fly, user: null };
