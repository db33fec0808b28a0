/** The page's script is one text that a browser can run; that it acts is tested in one (tests/browser/). */
import { Script } from 'node:vm';
import { expect, test } from 'vitest';
import { pageScript } from '../../src/report/pageScript.ts';

test('compiles as a whole: no name twice, no module of its own left', () => {
  const code = pageScript();
  expect(() => new Script(`'use strict'; ${code}`)).not.toThrow();
  expect(code).not.toMatch(/^\s*(import|export)\b/m);
  expect(code).not.toMatch(/\/\*|^\s*\/\//m);
});
