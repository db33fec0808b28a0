import { describe, expect, it } from 'vitest';
import { fixedStatements, lookPlan, repeatedStatement, type Statement } from '../../src/analysis/compare/rulePair.ts';
import { attemptsText, verdictText } from '../../src/report/verdict.ts';
import type { PairCounts } from '../../src/statistics/proportions/paired.ts';

const pairs = (both: number, firstOnly: number, secondOnly: number, neither: number): PairCounts => ({
  both,
  firstOnly,
  secondOnly,
  neither,
});
const said = (statement: Statement, comparisons = 1): string =>
  verdictText({ first: 'apogee-line', second: 'fixed-height', statement }, comparisons);
const fixed = (counts: PairCounts): string => said(fixedStatements([counts], 10_000)[0]);

describe('verdictText', () => {
  it('names the one that lands more often, by how much, and the interval, whichever is first', () => {
    expect(fixed(pairs(3500, 790, 500, 5210))).toBe('apogee-line lands 2.9 points more often than fixed-height (95 % interval 2.2 to 3.6)');
    expect(fixed(pairs(3500, 500, 790, 5210))).toBe('fixed-height lands 2.9 points more often than apogee-line (95 % interval 2.2 to 3.6)');
  });

  it('of an interval that holds 0 says only where a difference would lie', () => {
    expect(fixed(pairs(4000, 550, 525, 4925))).toBe(
      'no difference seen between apogee-line and fixed-height: if there is one it lies between -0.4 and +0.9 points (apogee-line minus fixed-height, 95 %)',
    );
  });

  it('does not print the end of an interval that excludes 0 as 0', () => {
    const statement: Statement = {
      ...fixedStatements([pairs(300, 30, 15, 655)], 1000)[0],
      difference: 0.015,
      interval: [0.0002, 0.0298],
    };
    expect(said(statement)).toBe('apogee-line lands 1.50 points more often than fixed-height (95 % interval 0.02 to 2.98)');
  });

  it('of a difference that may be luck among several says so', () => {
    const faint = pairs(300, 30, 15, 655);
    expect(said(fixedStatements([faint, faint, faint], 1000)[0], 3)).toMatch(
      /^apogee-line may land 1\.5 points more often than fixed-height \(95 % interval 0\.1 to 2\.9\), but among 3 comparisons that can be luck \(p 0\.11 for all together\)$/,
    );
    expect(said({ ...fixedStatements([faint], 1000)[0], verdict: 'hint', adjustedP: 0.0571 })).toMatch(
      /, but the exact test does not exclude luck \(p 0\.06\)$/,
    );
  });

  it('says which interval a repeated statement has', () => {
    expect(said(repeatedStatement(pairs(3500, 790, 500, 5210), 10_000, lookPlan(20_000, 1000, 3), null), 3)).toMatch(
      /^apogee-line lands 2\.9 points more often than fixed-height \(98\.33 % interval over all looks \d\.\d to \d\.\d\)$/,
    );
    expect(said(repeatedStatement(pairs(4000, 20, 22, 5000), 9042, lookPlan(10_000, 1000, 1), 0.02))).toMatch(
      /^apogee-line and fixed-height land alike within the margin: the difference lies between -\d\.\d+ and \+\d\.\d+ points \(95 %\)$/,
    );
  });

  it('claims nothing without a pair', () => {
    expect(fixed(pairs(0, 0, 0, 0))).toBe('nothing can be said of apogee-line and fixed-height: no flight has a result by both');
  });
});

describe('attemptsText', () => {
  it('gives two digits, the range, and no greatest number where there is none', () => {
    const test = '80 % chance to see it, 5 % to see one that is not there';
    expect(attemptsText({ estimated: 3423, least: 96, most: 42_234_827 })).toBe(
      `to see that in real attempts: about 3,400 (96 to over a million over the interval) of each (${test})`,
    );
    expect(attemptsText({ estimated: 50_000, least: 10_944, most: null })).toBe(
      `no number of real attempts is enough for sure: at least 11,000 of each (${test})`,
    );
  });
});
