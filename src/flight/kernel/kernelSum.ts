/** Which compiled kernel flew. Apart from its file's reading, so that no worker thread loads what hashes. */
import { createHash } from 'node:crypto';
import { kernelBinary } from './file.ts';

/** sha256 of the kernel's file. @throws Error when there is none */
export function kernelSum(): string {
  return createHash('sha256').update(kernelBinary()).digest('hex');
}
