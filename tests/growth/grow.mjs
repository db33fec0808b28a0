/**
 * What DEVELOPERS.md says of adding an input and an output, proved by doing it in a copy: the files it names and no
 * other are changed, the copy is built, and its program takes the input and reports the output. Run by .ci/growth.
 */
import { execFileSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const copy = mkdtempSync(join(tmpdir(), 'alight-growth-'));
const node = (...words) => execFileSync(process.execPath, words, { cwd: copy, encoding: 'utf8', maxBuffer: 2 ** 26 });

/** Puts text before the first place where `before` stands. */
function insert(file, before, text) {
  const path = join(copy, file);
  const old = readFileSync(path, 'utf8');
  const place = old.indexOf(before);
  if (place < 0) throw new Error(`${file} has no ${JSON.stringify(before)} any more: mend this script and DEVELOPERS.md`);
  writeFileSync(path, old.slice(0, place) + text + old.slice(place));
}

function expect(said, is) {
  if (!is) throw new Error(said);
  console.log(said);
}

try {
  for (const name of ['src', 'studies', 'package.json', 'tsconfig.json']) cpSync(name, join(copy, name), { recursive: true });
  symlinkSync(resolve('node_modules'), join(copy, 'node_modules'));

  // An input: a row at the end of the catalogue, and the line that reads it.
  insert(
    'src/inputs/catalogue.ts',
    '] as const;\n\n/** Key of an input. */',
    "  number('legs.dragFactor', 'air forces', '', 0, 5, 'on what the deployed legs add to the axial coefficient', 1),\n",
  );
  insert('src/flight/inputSetup.ts', '  p.normalNose =', "  p.axialLegs *= v('legs.dragFactor');\n");

  // An output: a row in the table; its field, and the line that fills it.
  insert('src/flight/outputs.ts', "  yes('lostControlRising'", "  n('fallTime', 's', 'from apogee to the first contact'),\n");
  insert('src/flight/record.ts', '  lostControlRising: number = 0;', '  fallTime: number = 0;\n');
  insert('src/flight/record.ts', '  r.lostControlRising =', '  r.fallTime = ground.contactTime - watch.apogeeTime;\n');

  node('node_modules/typescript/bin/tsc', '-p', 'src/tsconfig.json');
  node('src/flight/kernel/build.mjs');
  node('src/bundle.mjs');
  const study = 'studies/thistledown.yaml';
  const listed = node('dist/run/alight.js', 'inputs');
  expect('the new input is listed', listed.includes('legs.dragFactor'));
  const flown = (...words) => JSON.parse(node('dist/run/alight.js', 'trace', study, '7', '--json', ...words));
  const [plain, heavy] = [flown(), flown('--set', 'legs.dragFactor=2')];
  expect('the new input is 1 unless a study says otherwise', plain.inputs['legs.dragFactor'] === 1);
  expect('the new input changes the flight', heavy.outputs.ignitionSpeed < plain.outputs.ignitionSpeed);
  const { fallTime, contactTime, apogeeTime } = plain.outputs;
  expect('the new output is filled in', Math.abs(fallTime - (contactTime - apogeeTime)) < 1e-12);
  node('dist/run/alight.js', 'fly', study, '--flights', '20', '--threads', '1', '--out', 'grown', '--set', 'legs.dragFactor=2');
  const arrow = readFileSync(join(copy, 'grown', 'flights.arrow')).toString('latin1');
  expect('both are in the flights file, flown by the compiled kernel', arrow.includes('legs.dragFactor') && arrow.includes('fallTime'));
} finally {
  rmSync(copy, { recursive: true, force: true });
}
