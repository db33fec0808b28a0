/**
 * Puts what tsc built, and the packages it uses, into a few files in dist/run: the command line and the worker. Loading
 * them module by module took longer than flying a thousand flights. Run after tsc by `npm run build`. Names and comments
 * of regions stay, so that a stack still says whose line it was; licences of what is taken in stand in LICENCES.txt.
 */
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const OUT = join(ROOT, 'dist/run');

/** Starts threads from a file of its own, which must lie where it was installed. */
const LEFT_OUT = ['piscina'];

/** Each alone: a thread should load nothing that only the command line needs. */
const ENTRIES = { alight: 'dist/cli/main.js', worker: 'dist/fleet/worker.js' };

/** @returns the modules that went into it */
async function bundle(name, entry) {
  const build = await rolldown({ input: { [name]: join(ROOT, entry) }, cwd: ROOT, platform: 'node', external: LEFT_OUT });
  const { output } = await build.write({
    dir: OUT,
    format: 'esm',
    entryFileNames: '[name].js',
    chunkFileNames: `${name}/[name]-[hash].js`,
  });
  await build.close();
  return output.flatMap((file) => (file.type === 'chunk' ? Object.keys(file.modules) : []));
}

/** Folders of the packages that modules are from, sorted. */
function packagesOf(modules) {
  const folders = new Set();
  for (const path of modules) {
    const found = /^.*\/node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path);
    if (found !== null) folders.add(found[0]);
  }
  return [...folders].sort();
}

/** @returns name, version, licence and its text, as the package carries them */
function licence(folder) {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  const texts = readdirSync(folder).filter((file) => /^(licen[cs]e|notice)/i.test(file));
  return [`${name} ${version}: ${license}`, ...texts.map((file) => readFileSync(join(folder, file), 'utf8').trim())].join('\n\n');
}

if (existsSync(OUT)) rmSync(OUT, { recursive: true });
const modules = [];
for (const [name, entry] of Object.entries(ENTRIES)) modules.push(...(await bundle(name, entry)));
writeFileSync(
  join(OUT, 'LICENCES.txt'),
  `${packagesOf(modules)
    .map(licence)
    .join(`\n\n${'-'.repeat(80)}\n\n`)}\n`,
);
