/**
 * results-demo/ is what the demo command makes, bit for bit; run.json, the machine's facts, differs and so is no part
 * of the repository.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { alight } from './helpers/commandLine.ts';

const folder = mkdtempSync(join(tmpdir(), 'alight-demo-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The demo script of package.json, with the results elsewhere. */
function demoCommands(out: string): string[][] {
  const { scripts } = JSON.parse(readFileSync('package.json', 'utf8')) as { scripts: { demo: string } };
  return scripts.demo.split(' && ').map((command) => {
    const words = command.split(' ');
    expect(words.slice(0, 2)).toEqual(['node', 'dist/run/alight.js']);
    return words.slice(2).map((word) => word.replace('results-demo', out));
  });
}

describe('the demo', () => {
  // the same name, which the page's commands hold
  const out = join(folder, 'results-demo');
  const codes = demoCommands(out).map((args) => alight('.', ...args).code);

  test('runs', () => {
    expect(new Set(codes)).toEqual(new Set([0]));
  });

  test('is remade bit for bit', () => {
    const kept = readdirSync('results-demo').filter((name) => name !== 'run.json');
    expect(kept).toContain('flights.arrow');
    expect(readdirSync(out).filter((name) => name !== 'run.json')).toEqual(kept);
    for (const name of kept) {
      expect([name, readFileSync(join(out, name)).equals(readFileSync(join('results-demo', name)))]).toEqual([name, true]);
    }
  });

  test('run again leaves nothing changed: what differs from run to run is not committed', () => {
    expect(readFileSync('.gitignore', 'utf8').split('\n')).toContain('/results-demo/run.json');
    expect(readFileSync(join(out, 'run.json'), 'utf8')).toContain('seconds');
  });

  test('stays under 10 MB', () => {
    const bytes = readdirSync('results-demo').reduce((sum, name) => sum + statSync(join('results-demo', name)).size, 0);
    expect(bytes).toBeLessThan(10e6);
  });
});
