/**
 * Numbers of the command line that would take all memory or years, and files that may not be replaced: one line, before
 * anything is done.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Command, CommanderError } from 'commander';
import { expect, test } from 'vitest';
import { defineFly } from '../../src/cli/fly.ts';
import { defineRank } from '../../src/cli/rank.ts';
import { defineTune } from '../../src/cli/tune.ts';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();

test.each([
  [['fly', 's.yaml', '--threads', '3000'], 'expected a whole number from 1 to 256'],
  [['fly', 's.yaml', '--chunk', '100000000'], 'expected a whole number from 1 to 100000'],
  [['tune', 's.yaml', '--drops', '--steps', '1e8'], 'expected a whole number from 3 to 1001'],
  [['tune', 's.yaml', '--rule', 'x', '--flights', '1e12'], 'expected a whole number from 1 to 100000000'],
  [['rank', 's.yaml', '--sobol', '--size', '4294967296'], 'expected a whole number from 1 to 1048576'],
])('%j', async (args, words) => {
  const program = new Command().exitOverride().configureOutput({ writeErr: () => undefined });
  for (const define of [defineFly, defineTune, defineRank]) define(program);
  for (const command of program.commands) command.exitOverride().configureOutput({ writeErr: () => undefined });
  const refused = program.parseAsync(args, { from: 'user' });
  await expect(refused).rejects.toThrow(CommanderError);
  await expect(refused).rejects.toThrow(words);
});

test('a card writes none of its files where one cannot be written', async () => {
  expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '100', '--out', 'flown')).code).toBe(0);
  const ran = await alightHere(folder, 'card', 'flown', '--c-header', 'c.h', '--constants-json', 'nodir/x', '--force');
  expect([ran.code, ran.err]).toEqual([2, 'nodir/x: cannot write: it does not exist\n']);
  expect(existsSync(join(folder, 'c.h'))).toBe(false);
  expect(readdirSync(join(folder, 'flown'))).not.toContain('card.html');
});

test('what it wrote itself is replaced with --force, and nothing else: card, header, constants, page', async () => {
  const args = ['card', 'flown', '--c-header', 'c.h', '--constants-json', 'c.json'];
  expect((await alightHere(folder, ...args)).code).toBe(0);
  expect((await alightHere(folder, ...args, '--force')).code).toBe(0);
  writeFileSync(join(folder, 'c.h'), '#define MINE 1\n');
  const ran = await alightHere(folder, ...args, '--force');
  expect([ran.code, ran.err]).toEqual([
    2,
    'c.h: was not written by alight, and --force replaces only what was; choose another name, or remove it yourself\n',
  ]);
  expect(readFileSync(join(folder, 'c.h'), 'utf8')).toBe('#define MINE 1\n');
});

test('new never replaces a study, says so, and leaves a schema that is not its own', async () => {
  expect(JSON.parse((await alightHere(folder, 'new', 'mine', '--json')).out)).toEqual({ wrote: ['mine.yaml', 'study.schema.json'] });
  expect(alight(folder, 'new', 'mine').err).toBe('mine.yaml: exists already; choose another name: a study or logbook is never replaced\n');
  writeFileSync(join(folder, 'study.schema.json'), '{"mine": 1}');
  expect((await alightHere(folder, 'new', 'other')).err).toMatch(/^study\.schema\.json: was not written by alight/);
  expect(existsSync(join(folder, 'other.yaml'))).toBe(false);
});
