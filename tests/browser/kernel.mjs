/**
 * The compiled kernel in a browser's engine: twenty flights of the demo, set up in Node, flown in both from the same
 * memory, bit for bit alike. Run by .ci/browser, not by vitest.
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { setInputs, setNoise } from '../../dist/flight/inputSetup.js';
import * as source from '../../dist/flight/kernel/entry.js';
import { readLayout, typeNamed } from '../../dist/flight/kernel/layout.js';
import { KernelMemory, seen } from '../../dist/flight/kernel/memory.js';
import { setShared, studyTables } from '../../dist/flight/setup.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { makeSampler } from '../../dist/sampling/sampler.js';
import { openStudy } from '../../dist/study/load.js';
import { launch } from './setUp.mjs';

const binary = readFileSync('dist/flight/kernel/kernel.wasm');
const module = new WebAssembly.Module(binary);
const { exports } = new WebAssembly.Instance(module, { env: { abort: () => assert.fail('the kernel stopped') } });
const layout = readLayout(module);
const record = { place: exports.record(), numbers: Object.keys(source.record()).length };
const bits = () => [...new BigUint64Array(exports.memory.buffer, record.place, record.numbers)].map(String);

test('twenty flights have the same bits in the browser’s engine', async () => {
  const { study } = await openStudy('studies/thistledown.yaml');
  const type = typeNamed(layout, 'FlightParameters');
  const p = seen(new KernelMemory(exports.memory), layout, source.parameters(), type, exports.parameters(), exports.newNumbers);
  const sampler = makeSampler(study, { kind: 'study', flights: study.flights });
  const inputs = new Float64Array(CATALOGUE.length);
  setShared(p, study, studyTables(study), study.rules[0]);
  const flights = Array.from({ length: 20 }, (_, i) => {
    sampler.draw(i + 1, inputs);
    setInputs(p, study, inputs);
    setNoise(p, sampler.noiseKey(i + 1));
    const memory = Buffer.from(exports.memory.buffer.slice(0)).toString('base64');
    exports.fly();
    return { memory, here: bits() };
  });
  const browser = await launch();
  try {
    const page = await browser.newPage();
    const there = await page.evaluate(
      async ({ kernel, memories, place, numbers }) => {
        const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
        const imports = { env: { abort: () => undefined } };
        const { instance } = await WebAssembly.instantiate(bytes(kernel), imports);
        const { memory, fly } = instance.exports;
        return memories.map((text) => {
          const from = bytes(text);
          if (memory.buffer.byteLength < from.length) memory.grow((from.length - memory.buffer.byteLength) / 65536);
          new Uint8Array(memory.buffer).set(from);
          fly();
          return [...new BigUint64Array(memory.buffer, place, numbers)].map(String);
        });
      },
      { kernel: binary.toString('base64'), memories: flights.map(({ memory }) => memory), ...record },
    );
    assert.deepEqual(
      there,
      flights.map(({ here }) => here),
    );
    assert.equal(new Set(there.map(String)).size, 20);
  } finally {
    await browser.close();
  }
});
