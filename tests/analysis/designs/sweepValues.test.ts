import { describe, expect, it } from 'vitest';
import { everyChoice, readAxis } from '../../../src/analysis/designs/sweepValues.ts';

const texts = (over: string, steps = 5) => readAxis(over, steps).values.map(({ text }) => text);

describe('what a sweep goes over', () => {
  it.each([
    ['vehicle.airframe.mass=0.85..1.05kg', ['0.85 kg', '0.9 kg', '0.95 kg', '1 kg', '1.05 kg']],
    ['vehicle.airframe.mass = 0.85 kg .. 1.05 kg', ['0.85 kg', '0.9 kg', '0.95 kg', '1 kg', '1.05 kg']],
    ['wind.speed=0..4', ['0', '1', '2', '3', '4']],
    ['rules.a.c0=-2..2 m', ['-2 m', '-1 m', '0 m', '1 m', '2 m']],
    ['vehicle.gimbal.limit=3,5,8deg', ['3 deg', '5 deg', '8 deg']],
    ['landing.curve=a.csv, b.csv', ['a.csv', 'b.csv']],
    ['phases.replay=on,off', ['on', 'off']],
    ['vehicle.airframe.mass=900 g, 1.1 kg', ['900 g', '1.1 kg']],
  ])('%s', (over, values) => {
    expect(texts(over)).toEqual(values);
  });

  it('numbers keep their unit beside them, words have none', () => {
    expect(readAxis('a=3,5deg', 2)).toEqual({
      path: 'a',
      unit: 'deg',
      spread: null,
      values: [
        { text: '3 deg', number: 3 },
        { text: '5 deg', number: 5 },
      ],
    });
    expect(readAxis('a=x.csv,y.csv', 2).values[0]).toEqual({ text: 'x.csv', number: null });
  });

  it.each([
    ['mass', 'read no path and values'],
    ['mass=3kg', 'read fewer than two values'],
    ['mass=3,,4kg', 'read fewer than two values'],
    ['mass=4..3kg', 'a range whose end is not above its start'],
    ['mass=900g..1kg', 'read the units "g" and "kg"'],
    ['mass=3,4,3kg', 'read 3 kg twice'],
  ])('%s is refused in one line', (over, message) => {
    expect(() => readAxis(over, 3)).toThrow(message);
  });

  it('two axes give every choice, the last running first', () => {
    const choices = everyChoice([readAxis('a=1,2', 2), readAxis('b=x,y', 2)]);
    expect(choices.map((values) => values.map(({ text }) => text).join())).toEqual(['1,x', '1,y', '2,x', '2,y']);
  });
});
