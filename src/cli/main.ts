#!/usr/bin/env node
/** The command line's table of contents, and the one place where an error becomes a message and an exit code. */
import { CommanderError } from 'commander';
import { DoneAlready, UserError } from '../errors.ts';
import { programVersion } from '../results/header.ts';
import { defineCampaign } from './campaign.ts';
import { defineCard } from './card.ts';
import { defineCheck } from './check.ts';
import { defineCompare } from './compare.ts';
import { defineFly } from './fly.ts';
import { defineJobs } from './jobs.ts';
import { defineJoin } from './join.ts';
import { defineLearn } from './learn.ts';
import { defineLogbook } from './logbook.ts';
import { defineMeasure } from './measure.ts';
import { defineNew } from './new.ts';
import { OurCommand } from './ourCommand.ts';
import { defineRank } from './rank.ts';
import { defineReplay } from './replay.ts';
import { defineReport } from './report.ts';
import { guardStreams } from './streams.ts';
import { defineSweep } from './sweep.ts';
import { defineTables } from './tables.ts';
import { defineTrace } from './trace.ts';
import { defineTune } from './tune.ts';

/** 0 done, 1 our fault, 2 the user's input, 130 interrupted. */
async function main(): Promise<void> {
  const program = new OurCommand('alight')
    .description('Fly a model rocket that lands on a solid motor thousands of times, and see how often and why it fails.')
    .option('--version', 'print the version of the program')
    .on('option:version', () => {
      process.stdout.write(`${programVersion()}\n`);
      process.exit(0);
    })
    .showSuggestionAfterError()
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text) });
  defineCheck(program);
  defineFly(program);
  defineCompare(program);
  defineSweep(program);
  defineTune(program);
  defineRank(program);
  defineCampaign(program);
  defineLogbook(program);
  defineLearn(program);
  defineMeasure(program);
  defineReplay(program);
  defineJobs(program);
  defineJoin(program);
  defineTrace(program);
  defineReport(program);
  defineCard(program);
  defineTables(program);
  defineNew(program);
  program.addHelpText(
    'after',
    '\nA simulation is neither permission nor proof; clear distances come from law, safety code and range safety officer.',
  );
  for (const command of program.commands) command.exitOverride().showSuggestionAfterError();
  try {
    await program.parseAsync();
  } catch (error) {
    if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
    else if (error instanceof UserError) {
      for (const problem of error.problems) process.stderr.write(`${problem}\n`);
      process.exitCode = error instanceof DoneAlready ? 0 : 2;
    } else {
      process.stderr.write(`${error instanceof Error ? error.stack : String(error)}\n`);
      process.exitCode = 1;
    }
  }
}

guardStreams();

await main();
