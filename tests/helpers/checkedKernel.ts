/** The kernel compiled with every index checked, for tests only: it flies half as fast. */

import { compile } from '../../src/flight/kernel/build.mjs';
import { compiledKernel } from '../../src/flight/kernel/compiled.ts';
import type { Kernel } from '../../src/flight/kernel/kernel.ts';

const module: Promise<WebAssembly.Module> = compile(undefined, ['-O3', '--uncheckedBehavior', 'never']).then(
  ({ binary }) => new WebAssembly.Module(binary),
);

export async function checkedKernel(): Promise<Kernel> {
  return compiledKernel(await module);
}
