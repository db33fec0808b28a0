/** The compiled kernel's file, beside what tsc builds. For Node only. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { compiledKernel } from './compiled.ts';
import type { Kernel } from './kernel.ts';

/** Also when this file runs as source in a test, the built one. */
const FILE = new URL(import.meta.url.endsWith('.ts') ? '../../../dist/flight/kernel/kernel.wasm' : './kernel.wasm', import.meta.url);

/** A kernel of its own for each caller. @throws Error when there is no file: it was not built */
export function builtKernel(): Kernel {
  if (!existsSync(FILE)) throw new Error(`no kernel ${fileURLToPath(FILE)}; build first`);
  return compiledKernel(new WebAssembly.Module(readFileSync(FILE)));
}
