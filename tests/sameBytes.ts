/**
 * Arrays of bytes and numbers are compared as memory first: element by element a folder's files took longer to compare
 * than to fly. Where the memory differs the usual comparison decides, and words the difference.
 */
import { expect } from 'vitest';

expect.addEqualityTesters([
  (a: unknown, b: unknown): boolean | undefined => {
    if (!ArrayBuffer.isView(a) || !ArrayBuffer.isView(b) || a.constructor !== b.constructor) return undefined;
    const bytes = ({ buffer, byteOffset, byteLength }: ArrayBufferView): Buffer => Buffer.from(buffer, byteOffset, byteLength);
    return bytes(a).equals(bytes(b)) || undefined;
  },
]);
