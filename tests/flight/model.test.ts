/** The model's text beside the code: what comments cite of it exists, and each of its sections is named by a test. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const root = new URL('../../', import.meta.url).pathname;
const text = readFileSync(`${root}src/flight/MODEL.md`, 'utf8');
const sections = [...text.matchAll(/^## (\d+)\. /gm)].map((m) => Number(m[1]));

/** Sections named in a folder, with the file; this test's own text aside. */
function cited(folder: string): { file: string; section: number }[] {
  return readdirSync(`${root}${folder}`, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('model.test.ts'))
    .flatMap((name) => {
      // A comment's line may end anywhere in it.
      const prose = readFileSync(`${root}${folder}/${name}`, 'utf8').replace(/\n\s*(?:\*|\/\/) /g, ' ');
      const found = prose.matchAll(/\bmodel sections? ((?:\d+(?:, | and )?)+)/gi);
      return [...found].flatMap((m) => (m[1].match(/\d+/g) ?? []).map((n) => ({ file: `${folder}/${name}`, section: Number(n) })));
    });
}

describe('the model’s sections', () => {
  it('are numbered from 1 without a gap', () => {
    expect(sections).toEqual(sections.map((_, i) => i + 1));
    expect(sections.length).toBeGreaterThan(10);
  });

  it('exist wherever the code or a test cites one', () => {
    const all = [...cited('src'), ...cited('tests')];
    expect(all.filter(({ section }) => !sections.includes(section))).toEqual([]);
    expect(all.filter(({ file }) => file.startsWith('src/')).length).toBeGreaterThan(8);
  });

  it('are each named by a test', () => {
    const named = new Set(cited('tests').map(({ section }) => section));
    expect(sections.filter((n) => !named.has(n))).toEqual([]);
  });
});
