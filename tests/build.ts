/** Builds dist/ before any test: tests import the sources, workers run what is built; so does the compiled kernel. */
import { execFileSync } from 'node:child_process';

export default function build(): void {
  execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'src/tsconfig.json'], { stdio: 'inherit' });
  for (const script of ['src/flight/kernel/build.mjs', 'src/bundle.mjs']) execFileSync(process.execPath, [script], { stdio: 'inherit' });
}
