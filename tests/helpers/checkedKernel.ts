/**
 * The kernel compiled with every index checked, for tests only: it flies half as fast. Kept from run to run with a hash
 * of all that it was made of, file by file; with any other hash it is compiled anew.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { compile } from '../../src/flight/kernel/build.mjs';
import { compiledKernel } from '../../src/flight/kernel/compiled.ts';
import type { Kernel } from '../../src/flight/kernel/kernel.ts';

const FLAGS = ['-O3', '--uncheckedBehavior', 'never'];
const FOLDER = 'node_modules/.cache/alight';
const KEPT = `${FOLDER}/checkedKernel.json`;
/** What compiles, beside the sources. */
const COMPILERS = ['src/flight/kernel/build.mjs', ...['assemblyscript', 'binaryen'].map((name) => `node_modules/${name}/package.json`)];

type Binary = Uint8Array<ArrayBuffer>;

interface KeptKernel {
  /** Sources it was made of: a file more means that one of these, which imports it, has changed. */
  readonly files: readonly string[];
  readonly hash: string;
  /** Base 64. */
  readonly binary: string;
}

function madeOf(files: readonly string[]): string {
  const hash = createHash('sha256').update(FLAGS.join(' '));
  for (const file of [...COMPILERS, ...files]) hash.update(file).update(readFileSync(file));
  return hash.digest('hex');
}

/** @returns null where there is none, or one of other sources */
function kept(): Binary | null {
  try {
    const { files, hash, binary } = JSON.parse(readFileSync(KEPT, 'utf8')) as KeptKernel;
    return hash === madeOf(files) ? Uint8Array.from(Buffer.from(binary, 'base64')) : null;
  } catch {
    // Missing, or a source of it is gone: compiled anew.
    return null;
  }
}

async function checkedBinary(): Promise<Binary> {
  const found = kept();
  if (found !== null) return found;
  const { binary, files } = await compile(undefined, FLAGS);
  const keep: KeptKernel = { files, hash: madeOf(files), binary: Buffer.from(binary).toString('base64') };
  mkdirSync(FOLDER, { recursive: true });
  // Under another name first: whoever reads meanwhile finds the old one or the new, whole.
  const draft = `${KEPT}.${process.pid}`;
  writeFileSync(draft, JSON.stringify(keep));
  renameSync(draft, KEPT);
  return binary;
}

const module: Promise<WebAssembly.Module> = checkedBinary().then((binary) => new WebAssembly.Module(binary));

export async function checkedKernel(): Promise<Kernel> {
  return compiledKernel(await module);
}
