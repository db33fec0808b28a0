import { describe, expect, it } from 'vitest';
import { contactAnswer } from '../../../src/analysis/fly/contact.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { demoStudy, springsStudy } from '../../helpers/studyForTests.ts';
import { flights } from '../flights.ts';

const keys = ['peakFootForce', 'greatestLean', 'slidPath', 'rebounds'];
const study = springsStudy();

describe('what legs and ground go through', () => {
  const rows = [
    ...Array.from({ length: 100 }, (_, i) => ({
      outcome: 'landed' as const,
      peakFootForce: i + 1,
      greatestLean: 0.1,
      slidPath: 0,
      rebounds: i < 30 ? 2 : 0,
    })),
    { outcome: 'no landing thrust' as const },
    { outcome: 'no result' as const, peakFootForce: 1e6, greatestLean: 3, slidPath: 99, rebounds: 9 },
  ];
  const found = contactAnswer(flights(rows, keys), study, 0.95);

  it('is asked only where touchdown is simulated', () => {
    expect(contactAnswer(flights(rows, keys), demoStudy(), 0.95)).toBeNull();
  });

  it('counts flights in which a foot touched, those with none apart, and those without a result not at all', () => {
    expect(found).toMatchObject({ touched: 100, unpressed: 1, strength: 60, rebounded: 30, shareRebounded: 0.3 });
    expect(found?.shareReboundedInterval).toEqual(clopperPearson(30, 100, 0.95));
  });

  it('holds the forces against the nominal strength, an edge of the bins exactly on it, and the rest against nothing', () => {
    const force = found?.measures.peakFootForce;
    expect(force).toMatchObject({ mark: 60, shareWithin: 0.6, shareWithinInterval: clopperPearson(60, 100, 0.95) });
    expect(force?.histogram.edges[10]).toBe(60);
    expect(force?.histogram.counts.slice(0, 10).reduce((a, b) => a + b, 0)).toBe(60);
    expect(found?.measures.slidPath).toMatchObject({ mark: null, shareWithin: null });
    expect(found?.measures.greatestLean.quantiles.find(({ share }) => share === 0.5)?.value).toBe(0.1);
  });

  it('legs that stand anything have no mark', () => {
    const { vehicle } = study;
    const endless = springsStudy({ vehicle: { ...vehicle, legs: { ...vehicle.legs, strength: null } } });
    expect(contactAnswer(flights(rows, keys), endless, 0.95)).toMatchObject({
      strength: null,
      measures: { peakFootForce: { mark: null } },
    });
  });

  it('without a contact claims nothing', () => {
    const none = contactAnswer(flights([{ outcome: 'no landing thrust' }], keys), study, 0.95);
    expect(none).toMatchObject({ touched: 0, shareRebounded: null, measures: { slidPath: { quantiles: [] } } });
  });
});
