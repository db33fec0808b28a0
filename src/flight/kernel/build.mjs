/**
 * Compiles the kernel's TypeScript to WebAssembly: the second of its two builds (tsc makes the first). Run after tsc by
 * `npm run build`; leaves dist/flight/kernel/kernel.wasm as it is when nothing it was made of has changed. Tests import
 * `compile` for builds of their own.
 *
 * The sources are handed to asc as they stand, but for the imports: it wants no `.ts` ending and knows no `import
 * type`. Where every field of every kernel class lies in memory goes into the binary too, as the section `layout`
 * (layout.ts reads it).
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import asc from 'assemblyscript/asc';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
const ENTRY = 'src/flight/kernel/entry.ts';
const OUT = join(ROOT, 'dist/flight/kernel/kernel.wasm');
/** Every check of an index left out: what a checked build flies in the tests (tests/flight/kernel) needs none here. */
const FAST = ['-O3', '--uncheckedBehavior', 'always'];

/** One kernel file in asc's words: static imports, and what a comment has for asc alone (powersOfTwo.ts). */
const forAsc = (source) =>
  source
    .replace(/^( *)\/\/ asc: /gm, '$1')
    .replace(
      /^(import|export) (?:type )?(\{[^}]*\}) from '([^']+)\.ts';$/gm,
      (_, word, names, path) => `${word} ${names.replace(/\btype /g, '')} from '${path}';`,
    );

/**
 * @param entry from the repository's root   @param flags of asc
 * @returns the binary with its layout, its text when the flags name kernel.wat, and the files of ours it was made of
 * (paths from the root, sorted)
 * @throws Error with asc's own lines when it finds a mistake
 */
export async function compile(entry = ENTRY, flags = FAST) {
  const files = new Set();
  const classes = {};
  const written = new Map();
  const readFile = (name, base) => {
    const path = join(base, name);
    if (path.startsWith(join(ROOT, 'node_modules'))) return null;
    try {
      const source = readFileSync(path, 'utf8');
      if (path.endsWith('.ts')) files.add(relative(ROOT, path));
      return forAsc(source);
    } catch (error) {
      if (error.code === 'ENOENT' || error.code === 'EISDIR') return null;
      throw error;
    }
  };
  let binaryen;
  class Layout {
    afterCompile() {
      binaryen = this.binaryen;
      for (const type of this.program.managedClasses.values()) {
        if (type.internalName.startsWith('~lib/')) continue;
        const fields = {};
        for (const [name, { instance }] of type.members) {
          if (instance?.isField) fields[name] = [instance.memoryOffset, instance.type.toString()];
        }
        classes[type.internalName] = fields;
      }
    }
  }
  const { error, stderr } = await asc.main(
    // A class that the entry re-exports is no mistake (AS235): only tsc's build needs it.
    [entry, '--baseDir', ROOT, '--runtime', 'stub', '--disableWarning', 'AS235', '--outFile', 'kernel.wasm', ...flags],
    { transforms: [Layout], readFile, writeFile: (name, contents) => written.set(name, contents), listFiles: () => [] },
  );
  const said = stderr.toString();
  if (error || said !== '') throw new Error(`asc: ${error?.message ?? 'warnings'}\n${said}`);
  const plain = written.get('kernel.wasm');
  return {
    binary: Buffer.concat([flags === FAST ? inlined(binaryen, plain) : plain, section('layout', JSON.stringify(classes))]),
    text: written.get('kernel.wat') ?? '',
    files: [...files].sort(),
  };
}

/** Once more through asc's own optimiser, told to inline what asc leaves apart for size: a thirtieth of a flight. */
function inlined(binaryen, binary) {
  const { MutableGlobals, SignExt, NontrappingFPToInt, BulkMemory, BulkMemoryOpt } = binaryen.Features;
  const module = binaryen.readBinary(binary);
  module.setFeatures(MutableGlobals | SignExt | NontrappingFPToInt | BulkMemory | BulkMemoryOpt);
  binaryen.setOptimizeLevel(3);
  binaryen.setShrinkLevel(0);
  binaryen.setAlwaysInlineMaxSize(20);
  binaryen.setFlexibleInlineMaxSize(400);
  binaryen.setOneCallerInlineMaxSize(4000);
  module.runPasses(['inlining-optimizing']);
  module.optimize();
  const out = module.emitBinary();
  module.dispose();
  return out;
}

/** A custom section of a WebAssembly binary. */
function section(name, text) {
  const body = Buffer.concat([size(Buffer.byteLength(name)), Buffer.from(name), Buffer.from(text)]);
  return Buffer.concat([Buffer.from([0]), size(body.length), body]);
}

/** An unsigned LEB128. */
function size(n) {
  const bytes = [];
  let rest = n;
  do {
    bytes.push((rest & 0x7f) | (rest > 0x7f ? 0x80 : 0));
    rest >>>= 7;
  } while (rest > 0);
  return Buffer.from(bytes);
}

/** What a binary was made of: asc and its flags, this script, and each file's text. */
function madeOf(files) {
  const hash = createHash('sha256')
    .update(asc.version ?? '')
    .update(FAST.join(' '))
    .update(readFileSync(fileURLToPath(import.meta.url)));
  for (const file of files) hash.update(file).update(readFileSync(join(ROOT, file)));
  return hash.digest('hex');
}

/** Whether the binary at OUT is still what its sources say. */
function upToDate() {
  try {
    const module = new WebAssembly.Module(readFileSync(OUT));
    const [written] = WebAssembly.Module.customSections(module, 'sources');
    const { files, hash } = JSON.parse(Buffer.from(written).toString());
    return hash === madeOf(files);
  } catch {
    // Missing, unreadable or of another make: built anew.
    return false;
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href && !upToDate()) {
  const { binary, files } = await compile();
  mkdirSync(dirname(OUT), { recursive: true });
  writeFileSync(OUT, Buffer.concat([binary, section('sources', JSON.stringify({ files, hash: madeOf(files) }))]));
}
