/** Drops as one flat table, a row a drop. Computes nothing. */
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { Drop } from './drop.ts';

export function dropTable(drops: readonly Drop[]): AnswerColumn[] {
  const numbers = (key: string, unit: string, meaning: string, read: (drop: Drop) => number | null): AnswerColumn => ({
    key,
    unit,
    meaning,
    values: drops.map(read),
  });
  return [
    numbers('impulseFactor', '', 'ascent impulse over the nominal curve’s', (d) => d.impulseFactor),
    numbers('apogee', 'm', 'true', (d) => d.apogee),
    numbers('believedApogee', 'm', 'as the flight computer believes', (d) => d.believedApogee),
    numbers('burnHeight', 'm', 'true height at the best command, less the way during the lead', (d) => d.burnHeight),
    numbers('believedBurnHeight', 'm', 'the same as the flight computer believes: what rules are written in', (d) => d.believedBurnHeight),
    numbers('commandHeight', 'm', 'true height at the best command', (d) => d.commandHeight),
    numbers('thrustHeight', 'm', 'true height where thrust starts', (d) => d.thrustHeight),
    numbers('commandSpeed', 'm/s', 'true descent speed at the best command', (d) => d.commandSpeed),
    numbers('believedCommandSpeed', 'm/s', 'as the flight computer believes', (d) => d.believedCommandSpeed),
    numbers('sink', 'm/s', 'softest touchdown there is: sink speed, worst over contacts', (d) => d.sink),
    { key: 'outcome', unit: '', meaning: 'how that flight ended', values: drops.map((d) => d.outcome) },
    numbers('fallSpeed', 'm/s', 'sink speed without a landing motor', (d) => d.fallSpeed),
  ];
}
