/** The compiled kernel's file, beside what tsc builds. For Node only. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { packageFile } from '../../packageFile.ts';
import { compiledKernel } from './compiled.ts';
import type { Kernel } from './kernel.ts';

/** Also when this file runs as source in a test, the built one. */
const FILE = packageFile('dist/flight/kernel/kernel.wasm');

/** A kernel of its own for each caller. @throws as {@link kernelBinary} */
export function builtKernel(): Kernel {
  return compiledKernel(new WebAssembly.Module(kernelBinary()));
}

/** @throws Error when there is no file: it was not built */
export function kernelBinary(): Buffer<ArrayBuffer> {
  if (!existsSync(FILE)) throw new Error(`no kernel ${fileURLToPath(FILE)}; build first`);
  return readFileSync(FILE);
}
