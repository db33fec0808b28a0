/**
 * The page's script as one text: the built modules of browser/ and what they share with the page, put one after the
 * other. A page is one file without a network, and its modules could not find each other in it. Names must differ over
 * all of them; a test compiles the text.
 */
import { readFileSync } from 'node:fs';
import { packageFile } from '../packageFile.ts';

/** Each after what it imports. */
const MODULES = [
  'words',
  'browser/flights',
  'browser/exactShare',
  'browser/choice',
  'browser/chosenWords',
  'browser/tip',
  'browser/picture',
  'browser/gestures',
  'browser/folds',
  'browser/start',
];

/** As built; the same files whether this one runs built or from its source. */
export function pageScript(): string {
  return MODULES.map((name) => bare(readFileSync(packageFile(`dist/report/${name}.js`), 'utf8'))).join('');
}

/** A module's statements, without what ties it to others, without comments and empty lines. */
function bare(code: string): string {
  return code
    .replace(/^\/\/\/.*\n/gm, '')
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/^\s*\/\/.*\n/gm, '')
    .replace(/^import [\s\S]*?;\n/gm, '')
    .replace(/^export (\{\};\n)?/gm, '')
    .replace(/\n\s*\n/g, '\n');
}
