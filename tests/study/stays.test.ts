/** `stays:` beside a distribution and the `campaign` section: what is read, what is refused and where, and out again. */

import { describe, expect, it } from 'vitest';
import { resolvedYaml } from '../../src/study/resolved.ts';
import { folderOf, plainText, problemsOf, read } from './plainStudy.ts';

const WIND = '  wind.speed: { uniform: { low: 0, high: 4 }';
const stays = (text: string): string => plainText({ 37: `${WIND}, stays: ${text} }`, 40: '', 41: '' });

describe('what stays', () => {
  it('is a level, or shares of several; fresh draws are what an input does anyway', async () => {
    const staysOf = async (text: string) => (await read(stays(text))).study.stays;
    expect(await staysOf('day')).toEqual({ 'wind.speed': { day: 1 } });
    expect(await staysOf('{ flight: 40 %, airframe: 0.6, day: 0 }')).toEqual({ 'wind.speed': { airframe: 0.6, flight: 0.4 } });
    expect(await staysOf('flight')).toEqual({});
    expect(await staysOf('{ flight: 100 % }')).toEqual({});
    expect((await read(plainText())).study.stays).toEqual({});
  });

  it('stays with each input that a name with * stands for, and with none that is held', async () => {
    const text = plainText({ 37: '  gyro.bias*: { normal: { sd: 0.05 deg/s }, stays: electronics }', 40: '', 41: '' });
    expect(Object.keys((await read(text)).study.stays)).toEqual(['gyro.biasX', 'gyro.biasY', 'gyro.biasZ']);
    expect((await read(text, ['inputs.gyro.biasX=0'])).study.stays['gyro.biasX']).toBeUndefined();
  });

  it.each(['airframe', '{ airframe: 60 %, flight: 40 % }', '{ airframe: 33.333 %, day: 33.333 %, flight: 33.334 % }'])(
    'read again from the resolved text is the same study: %s',
    async (text) => {
      const opened = await read(stays(text));
      const again = await read(opened.text, [], folderOf({}));
      expect(again.study).toEqual(opened.study);
      expect(again.text).toBe(opened.text);
    },
  );

  it.each([
    [
      'airfame',
      'lander.yaml:37:54 inputs.wind.speed.stays: read "airfame"; expected one of electronics, airframe, batch, day, flight, or shares of them. Did you mean "airframe"?',
    ],
    [
      '{ airframe: 60 %, flight: 30 % }',
      'lander.yaml:37:47 inputs.wind.speed.stays: read shares that add up to 90 %; expected 100 %. Write, for example, stays: airframe, or stays: { airframe: 60 %, flight: 40 % }.',
    ],
    [
      '{ hull: 60 %, flight: 40 % }',
      'lander.yaml:37:56 inputs.wind.speed.stays.hull: unknown level; expected one of electronics, airframe, batch, day, flight.',
    ],
    [
      '{ day: 150 %, flight: -50 % }',
      'lander.yaml:37:61 inputs.wind.speed.stays.day: read "150 %"; expected a plain number from 0 to 1. Give a value in that range.',
    ],
    [
      '{}',
      'lander.yaml:37:47 inputs.wind.speed.stays: read shares that add up to 0 %; expected 100 %. Write, for example, stays: airframe, or stays: { airframe: 60 %, flight: 40 % }.',
    ],
    [
      '[day]',
      'lander.yaml:37:47 inputs.wind.speed.stays: read a list; expected one of electronics, airframe, batch, day, flight, or shares of them. Write, for example, stays: airframe, or stays: { airframe: 60 %, flight: 40 % }.',
    ],
  ])('%s is refused at its place', async (text, line) => {
    expect((await problemsOf(stays(text)))[0]).toBe(line);
  });

  it('must be the same of inputs that go together', async () => {
    const text = plainText({ 38: '  ascent.impulseFactor: { normal: { sd: 3 % }, stays: { batch: 60 %, flight: 40 % } }' });
    expect(await problemsOf(text)).toEqual([
      'lander.yaml:41:7 correlations.0.between: read ascent.impulseFactor, which stays batch 60 %, flight 40 %, with landing.impulseFactor, which stays flight; expected the same of both. Give both the same stays:, or remove the correlation.',
    ]);
  });
});

describe('the campaign section', () => {
  it('has defaults, and takes no rebuild for a touchdown speed', async () => {
    expect((await read(plainText())).study.campaign).toEqual({
      attempts: 20,
      flightsADay: 3,
      motorsInBatch: 6,
      rebuild: { sink: 8, tippedOver: true },
      observation: { error: 0.3, aim: 0 },
      costs: null,
    });
    const given = 'attempts: 5, rebuild: { sink: none, tippedOver: off }, costs: { currency: EUR, attempt: 30, rebuild: 50 }';
    const { study } = await read(plainText({ 35: `campaign: { ${given} }` }));
    expect(study.campaign.attempts).toBe(5);
    expect(study.campaign.rebuild).toEqual({ sink: null, tippedOver: false });
    expect(study.campaign.costs).toEqual({ currency: 'EUR', attempt: 30, rebuild: 50 });
    expect((await read(resolvedYaml(study))).study.campaign).toEqual(study.campaign);
  });

  it('refuses what cannot be', async () => {
    expect(await problemsOf(plainText({ 35: 'campaign: { attempts: 0, rebuild: { sink: -1 } }' }))).toEqual([
      'lander.yaml:35:23 campaign.attempts: read 0; expected a whole number from 1 to 200. Write, for example, 20.',
      'lander.yaml:35:43 campaign.rebuild.sink: read -1; expected a speed above 0 m/s, at most 1000 m/s. Give a value in that range.',
    ]);
  });
});
