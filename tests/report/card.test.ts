/** The field card and the constants for the flight computer, from flights made up so that every number is known. */
import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { type FieldCard, fieldCard } from '../../src/analysis/card/fieldCard.ts';
import { OUTCOMES } from '../../src/flight/outputs.ts';
import { cardPage, cardText } from '../../src/report/card.ts';
import { cHeader, constantsJson } from '../../src/report/ruleConstants.ts';
import { openStudy } from '../../src/study/load.ts';
import { springsStudy } from '../helpers/studyForTests.ts';

const { study } = await openStudy('studies/thistledown.yaml');
const n = 1000;
const rows = Array.from({ length: n }, (_, i) => i);
// Wind from 0 to 4 m/s; lands below 2 m/s, slides above, but for ten flights without a result at the top.
const wind = Float64Array.from(rows, (i) => (4 * i) / (n - 1));
const outcome = Uint8Array.from(rows, (i) => OUTCOMES.indexOf(i >= 990 ? 'no result' : i < 500 ? 'landed' : 'slid'));
const value = (f: (i: number) => number) => Float64Array.from(rows, (i) => (i >= 990 ? Number.NaN : f(i)));
const columns = {
  'wind.speed': wind,
  'airframe.mass': new Float64Array(n).fill(0.93),
  sink: value((i) => 1 + i / n),
  slide: value(() => 1),
  tilt: value(() => 0.1),
  landingEast: value((i) => Math.sin(i)),
  landingNorth: value((i) => Math.cos(i)),
  landingDistance: value((i) => i / 100),
  apogee: value((i) => 40 + i / 100),
  believedApogee: value((i) => 38 + i / 100),
};
const flown = {
  study,
  studyHash: 'abcdef0123456789',
  version: '9.9.9',
  overrides: [],
  rule: 'apogee-line',
  flightsAsked: rows.length,
  flights: { outcome, number: Float64Array.from(rows, (i) => i + 1), columns },
};
const card: FieldCard = fieldCard(flown);

describe('after a miss', () => {
  const constant = { key: 'c0', unit: 'm', value: -3.4 };
  const said = (policy: string): string => cardText({ ...card, afterMiss: { policy, constant, aim: 1.5, campaigns: 1000 } }, null);

  test('the best policy is said as what to do to the constant, and there is room to write down what was done', () => {
    expect(said('correct:0.6')).toContain(
      'AFTER A MISS\n  Attempt after attempt, correct 60 % of it: take that part of the miss seen from c0, now -3.4 m.',
    );
    expect(said('correct:0.6')).toContain(
      'less 1.50 m. A touchdown at a good speed is no miss and changes nothing.\n  By 1,000 simulated campaigns',
    );
    expect(said('keep')).toContain('Leave c0 at -3.4 m: no policy was told to take fewer attempts.');
    expect(cardText(card, null)).not.toContain('AFTER A MISS');
    expect(cardText(card, null)).toMatch(/result +miss seen, m +change to program +note/);
  });
});

describe('the card', () => {
  const text = cardText(card, 0.5);

  test('has the rule’s constants as the study has them', () => {
    expect(text).toMatch(/c0 +-3\.4 +m /);
    expect(text).toMatch(/c1 +0\.24 /);
    expect(text).toMatch(/lead +0\.11 +s /);
    expect(text).toMatch(/tiltGuard +0\.610865 +rad .*\(35\.0 deg\)/);
  });

  test('gives apogee true and believed over the flights with a result', () => {
    // 990 values 0.01 m apart: the median is 40 + 9.89/2.
    expect(card.apogee.flights).toBe(990);
    expect(card.apogee.quantiles[1].value).toBeCloseTo(44.945, 9);
    expect(card.believedApogee.quantiles[1].value).toBeCloseTo(42.945, 9);
    expect(text).toMatch(/apogee, true, m .* 990\n/);
  });

  test('judges each band of wind by its interval, and says that outside was not flown', () => {
    const part = text.slice(text.indexOf('WIND'), text.indexOf('LAUNCH MASS'));
    expect(part).toMatch(/Flown from 0\.0+ to 4\.0+ m\/s\. Outside is no-go/);
    expect([...part.matchAll(/ (go|no-go|unclear)$/gm)].map((m) => m[1])).toEqual(['go', 'go', 'unclear', 'no-go', 'no-go']);
    expect(part).toMatch(/ 190 +10 +no-go/);
  });

  test('does not judge without a share wanted', () => {
    expect(cardText(card, null)).not.toMatch(/verdict|No-go: all|wanted/);
  });

  test('says no-go plainly, over everything else', () => {
    // 500 of 990 landed: the interval is about 0.47 to 0.54.
    expect(cardText(card, 0.8)).toMatch(
      /\n {2}50\.5 % of simulated flights land .*\n {2}No-go: all of the interval lies under the 80 % wanted\. 2 of 5 bands of wind are go\.\n/,
    );
    expect(cardPage(card, 0.8)).toContain('<p class="verdict">No-go: ');
    expect(cardText(card, 0.5)).toMatch(/Unclear: the 50 % wanted lies within the interval/);
    expect(cardText(card, 0.3)).toMatch(/Go: the simulation reaches the 30 % wanted\. That is not permission\./);
    const lost = { ...flown.flights, outcome: new Uint8Array(n).fill(OUTCOMES.indexOf('slid')) };
    expect(cardText(fieldCard({ ...flown, flights: lost }), 0.8)).toMatch(/No-go: .* No band of wind is go\./);
  });

  test('does not judge bands of a temperature that no motor here feels', () => {
    const warm = Float64Array.from(rows, (i) => 280 + (20 * i) / n);
    const made = fieldCard({ ...flown, flights: { ...flown.flights, columns: { ...columns, 'site.temperature': warm } } });
    const part = cardText(made, 0.5).split('TEMPERATURE')[1].split('\n\n')[0];
    expect(part).toMatch(/Flown from 6\.\d+ to 26\.\d+ °C\. Outside is no-go.* nothing is judged/);
    expect(part).not.toMatch(/\bgo\n|unclear|landed/);
  });

  test('judges them once a motor goes with the air’s temperature, and not by one that has its own', () => {
    const warm = Float64Array.from(rows, (i) => 280 + (20 * i) / n);
    const made = (stated: number | null): string => {
      const temperature = { reference: 293.15, impulsePerKelvin: 0.001, burnTimePerKelvin: 0, stated };
      const study = { ...flown.study, landing: { ...flown.study.landing, temperature } };
      const flights = { ...flown.flights, columns: { ...columns, 'site.temperature': warm } };
      return cardText(fieldCard({ ...flown, study, flights }), 0.5)
        .split('TEMPERATURE')[1]
        .split('\n\n')[0];
    };
    expect(made(null)).toMatch(/\b(go|no-go|unclear)\n/);
    expect(made(288)).toMatch(/nothing is judged/);
  });

  test('has blanks for what is written down at each attempt', () => {
    const { document } = parseHTML(cardPage(card, null));
    const heads = [...document.querySelectorAll('.blanks thead th')].map((e) => e.textContent ?? '');
    for (const word of ['attempt', 'date', 'ascent motor, lot', 'landing motor, lot', 'result']) {
      expect(heads.some((head) => head.includes(word))).toBe(true);
      expect(text).toContain(word);
    }
    expect([...document.querySelectorAll('.blanks tbody td')].every((e) => e.textContent === '')).toBe(true);
    expect(text).toMatch(/\n {4}_{6,} /);
  });

  test('says of what did not vary that nothing else is known', () => {
    expect(text).toMatch(/TEMPERATURE\n {2}Flown at 15\.0 °C only/);
    expect(text).toMatch(/LAUNCH MASS\n {2}Flown at 1\.04 kg only/);
  });

  test('suggests checks by what failed, and only that', () => {
    expect(text).toMatch(/\[ \] Gimbal trim.*“slid”: 49\.5 %/);
    expect(text).not.toMatch(/igniter seated/);
  });

  test('carries the cautions, on paper too', () => {
    for (const whole of [text, cardPage(card, 0.5)]) {
      expect(whole).toContain('range safety officer');
      expect(whole).toContain('Clear distances come from them');
      expect(whole).toContain('10 have no result');
    }
  });

  test('shows a title that looks like markup as a title', () => {
    const odd = cardPage({ ...card, title: '<script>x</script>' }, null);
    expect(odd).toContain('&lt;script&gt;x&lt;/script&gt;');
    expect(odd).not.toContain('<script>');
  });

  test('says that the flying was ended before all were flown, and only then', () => {
    expect(cardText(fieldCard({ ...flown, flightsAsked: 5000 }), null)).toMatch(
      /Made of [\d,]+ of 5,000 flights asked for: the flying was ended before/,
    );
    expect(text).not.toMatch(/asked for/);
  });

  test('shows no more digits than a hand copies', () => {
    const rules = study.rules.map((rule) => ({ ...rule, tiltGuard: (35 * Math.PI) / 180 }));
    expect(cardText(fieldCard({ ...flown, study: { ...study, rules } }), null)).toMatch(/tiltGuard +0\.610865 +rad/);
  });

  test('is made of nothing but lost flights as well, and of none', () => {
    for (const size of [0, 5]) {
      const cut = Object.fromEntries(Object.entries(columns).map(([key, v]) => [key, v.subarray(0, size)]));
      const lost = new Uint8Array(size).fill(OUTCOMES.indexOf('no result'));
      const made = cardText(fieldCard({ ...flown, flights: { outcome: lost, number: new Float64Array(size), columns: cut } }), 0.5);
      expect(made).toMatch(/nothing can be said/);
      expect(made).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});

describe('for the flight computer', () => {
  const define = (header: string, name: string): string => new RegExp(`#define ${name} (.*?) /\\*`).exec(header)?.[1] ?? 'none';

  test('the header has every constant to the last bit', () => {
    const header = cHeader(card);
    expect(define(header, 'ALIGHT_C0')).toBe('(-3.4)');
    expect(define(header, 'ALIGHT_C1')).toBe('(0.24)');
    expect(Number(define(header, 'ALIGHT_TILT_GUARD').slice(1, -1))).toBe(card.rule.tiltGuard);
    expect(define(header, 'ALIGHT_INSIDE_TICK')).toBe('0');
    expect(define(header, 'ALIGHT_RULE_KIND')).toBe('"apogeeLine"');
    // A whole number stays a double in C.
    expect(cHeader({ ...card, rule: { ...card.rule, lead: 2 } })).toContain('#define ALIGHT_LEAD (2.0) ');
  });

  test('no name can end a comment or a string of the header', () => {
    const odd = cHeader({ ...card, title: 'a */ int x; /*', rule: { ...card.rule, name: 'é"\\?\n' } });
    expect(odd.match(/\*\//g)?.length).toBe(odd.match(/\/\*/g)?.length);
    expect(odd).not.toContain('int x; /*');
    expect(define(odd, 'ALIGHT_RULE_NAME')).toBe('"\\303\\251\\"\\\\\\077\\012"');
  });

  test('the JSON says the same', () => {
    const said = JSON.parse(constantsJson(card));
    expect(said.constants.map((c: { name: string; value: number; unit: string }) => [c.name, c.value, c.unit])).toEqual([
      ['c0', -3.4, 'm'],
      ['c1', 0.24, ''],
    ]);
    expect(said.tiltGuard).toEqual({ value: card.rule.tiltGuard, unit: 'rad' });
    expect(said.onboardModel.thrust).toEqual(study.landing.curve.thrust);
  });
});

describe('the card of a simulated touchdown', () => {
  const legs = springsStudy();
  const endings = Uint8Array.from(rows, (i) =>
    OUTCOMES.indexOf(i < 500 ? 'landed' : (['slid', 'tipped over', 'leg gave way', 'lit too low'] as const)[i % 4]),
  );
  const pressed = { peakFootForce: value(() => 30), greatestLean: value(() => 0.1), slidPath: value(() => 0), rebounds: value(() => 1) };
  const made = fieldCard({
    ...flown,
    study: legs,
    rule: legs.rules[0].name,
    flights: { ...flown.flights, outcome: endings, columns: { ...columns, ...pressed } },
  });
  const text = cardText(made, null);

  test('its checks name legs and ground by the numbers flown', () => {
    expect(text).toMatch(/Each leg gives on a kitchen scale as flown here: 600 N\/m, 4\.03 mm under its share of the weight/);
    expect(text).toMatch(/Each leg holds 60\.0 N at its foot/);
    expect(text).toMatch(/a pull of 0\.500 of its weight keeps it sliding \(“/);
    expect(text).toMatch(/damping 0\.699 of critical, as flown here/);
    expect(text).toMatch(/Limits of a landing: what its legs and the ground, as simulated, let stand\./);
    expect(cardText(card, 0.5)).not.toContain('as flown here');
  });
});
