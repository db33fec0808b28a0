/**
 * The Kubernetes job files against the published schema of the API, as the package kubernetes-models compiles it: sound as they are, and
 * every field is one that the schema knows (with a value of another kind in it the schema complains). `.ci/jobs` installs that package
 * apart and runs this: `node tests/jobs/kubernetes.mjs FOLDER_OF_JOB_FILES FOLDER_WITH_THE_PACKAGE`.
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { parse } from 'yaml';

const [jobs, packages] = process.argv.slice(2).map((folder) => resolve(folder));
const { Job } = createRequire(join(packages, 'package.json'))('kubernetes-models/batch/v1');

/** Why the schema refuses it; null when it is sound. */
function complaint(document) {
  try {
    new Job(document).validate();
    return null;
  } catch (error) {
    return error.message;
  }
}

/** Where plain values stand, as lists of keys. */
function* leaves(value, way = []) {
  if (typeof value !== 'object' || value === null) yield way;
  else for (const [key, child] of Object.entries(value)) yield* leaves(child, [...way, key]);
}

for (const name of ['parts.yaml', 'join.yaml']) {
  const document = parse(readFileSync(join(jobs, name), 'utf8'));
  assert.equal(complaint(document), null, name);
  let fields = 0;
  for (const way of leaves(document)) {
    const other = structuredClone(document);
    const holder = way.slice(0, -1).reduce((at, key) => at[key], other);
    holder[way.at(-1)] = { none: 'such' };
    assert.notEqual(complaint(other), null, `${name}: the schema does not know ${way.join('.')}`);
    fields++;
  }
  assert.ok(fields > 10);
  process.stdout.write(`${name}: sound, and all its ${fields} fields are known\n`);
}
