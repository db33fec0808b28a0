/** Test settings. The workers always run built JavaScript, so every start builds it first. */
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/build.ts'],
    setupFiles: ['tests/sameBytes.ts'],
    // Files share their workers: loading what they import again for each took as long as running them. None changes
    // what others see.
    isolate: false,
    // The built program is run as it was built, also in the worker's own process (tests/helpers/commandLine.ts).
    server: { deps: { external: [/\/dist\//] } },
    maxWorkers: '150%',
    // Generous: whole studies are flown, and machines are shared.
    testTimeout: 300_000,
    hookTimeout: 300_000,
  },
});
