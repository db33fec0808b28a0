/**
 * What is installed with the program and what only to develop it, from the lock file: each package with its version and
 * licence. Reads one file; asks nobody. Usage: npm run licences
 */
import { readFileSync } from 'node:fs';

/** Licences that whoever passes the program on can keep by naming them. */
export const ACCEPTED = ['0BSD', 'Apache-2.0', 'BSD-2-Clause', 'BSD-3-Clause', 'ISC', 'MIT', 'Unlicense'];

/** @returns every package of the lock file: name, version, licence, whether only development needs it, scripts at install */
export function packages() {
  const lock = JSON.parse(readFileSync(new URL('../../package-lock.json', import.meta.url), 'utf8'));
  return Object.entries(lock.packages)
    .filter(([path]) => path !== '')
    .map(([path, entry]) => ({
      name: path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length),
      version: entry.version,
      licence: entry.license ?? 'none named',
      development: entry.dev === true || entry.devOptional === true,
      scripts: entry.hasInstallScript === true,
    }));
}

if (import.meta.filename === process.argv[1]) {
  for (const development of [false, true]) {
    const these = packages().filter((p) => p.development === development);
    console.log(`${development ? 'To develop it' : 'With the program'}: ${these.length} packages`);
    for (const { name, version, licence } of these) console.log(`  ${licence.padEnd(20)}${name} ${version}`);
  }
}
