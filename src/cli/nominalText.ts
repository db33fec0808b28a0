/** The nominal flight's findings in words: what is wrong, with numbers, and what would mend it. Computes nothing. */
import type { LoopMargins } from '../analysis/nominal/attitudeLoop.ts';
import type { Burn, NominalFinding } from '../analysis/nominal/finding.ts';
import type { NominalReading } from '../analysis/nominal/readNominal.ts';
import { plain, unitWords } from '../report/words.ts';
import { heading } from './terminal.ts';

const degrees = (rad: number): string => `${plain((rad * 180) / Math.PI)} deg`;
const millimetres = (m: number): string => `${plain(1000 * m)} mm`;
const share = (x: number): string => `${plain(100 * x)} %`;
/** m; nobody carries a longer one to the field. */
const LONG_RAIL = 4;
/** rad; a servo and a tick that turn the loop's phase by more are what costs the margin. */
const LAGGING = 0.3;

/** Findings of how it stands. */
const OF_TOUCHDOWN: ReadonlySet<NominalFinding['key']> = new Set([
  'slides',
  'leans',
  'fallsOver',
  'narrowStance',
  'tripsOver',
  'legBreaks',
  'neverRests',
]);

const burnWords = (burn: Burn): string => (burn === 'ascent' ? 'going up' : 'in the landing burn');

/** All of it, for `check --fly`. */
export function nominalText(r: NominalReading): string {
  const faults = r.findings.filter(({ severity }) => severity === 'fault');
  const doubts = r.findings.filter(({ severity }) => severity === 'doubt');
  return [
    `${heading('The nominal flight')} ${outcomeWords(r)}`,
    ...section('What is wrong, in the order of the flight (what comes later may follow from what came before)', faults),
    ...section('What it has little room for', doubts),
    ...(r.landingJudged || r.findings.every(({ key }) => key !== 'lostControl' && key !== 'wrongInFlight')
      ? []
      : ['  Its braking and standing are not judged: mend this first.']),
    ...(r.touchdownOf === 'softest' && r.findings.some(({ key }) => OF_TOUCHDOWN.has(key))
      ? ['  Slide, lean and stance are those of the same flight lit where that is softest.']
      : []),
    ...(r.findings.length === 0 ? ['  nothing amiss was found'] : []),
    '',
    '  One flight with every input at its nominal value, by the model: no noise, gusts, stalls or sensor rounding. That it lands says nothing of how often',
    '  the real vehicle will. Margins of the attitude loop are of small turns, servo lag and tick in them, its rate limit not.',
  ].join('\n');
}

/** One or two lines for the head of other commands; none when nothing fails. @param study as the user named it */
export function nominalHead(r: NominalReading, study: string): string[] {
  const faults = r.findings.filter(({ severity }) => severity === 'fault');
  if (faults.length === 0) return [];
  const more = faults.length === 1 ? '' : ` (and ${faults.length - 1} more)`;
  return [`the nominal flight ${outcomeWords(r)}`, `${findingWords(faults[0])}${more}. \`alight check --fly ${study}\` reads it all out`];
}

function section(title: string, findings: readonly NominalFinding[]): string[] {
  if (findings.length === 0) return [];
  return ['', `${title}:`, ...findings.map((finding, i) => `  ${i + 1}. ${findingWords(finding)}`)];
}

function outcomeWords(r: NominalReading): string {
  const by = `by rule ${r.rule}`;
  const touched =
    r.sink === null || r.slide === null || r.tilt === null
      ? ''
      : `: sink ${plain(r.sink)} m/s, slide ${plain(r.slide)} m/s, tilt ${degrees(r.tilt)} at touchdown, from ${r.apogee === null ? 'no apogee' : `an apogee of ${plain(r.apogee)} m`}`;
  return r.outcome === 'landed' ? `lands ${by}${touched}` : `does not land ${by}: ${r.outcome}${touched}`;
}

function findingWords(f: NominalFinding): string {
  switch (f.key) {
    case 'noLiftoff':
      return `It does not leave the rail: the ascent thrust is at most ${plain(f.peakThrust)} N and ${plain(f.meanThrust)} N on average, the weight ${plain(f.weight)} N. Take a stronger ascent motor, or check the unit of its curve`;
    case 'weakLiftoff':
      return `It lifts off weakly: along the rail the thrust is ${plain(f.thrust / f.weight)} times the weight (${plain(f.thrust)} N against ${plain(f.weight)} N; 1.5 is usual for a steered vehicle). A motor that begins stronger, or a lighter vehicle, helps`.concat(
        f.fallsBackFrom === null ? '' : `. It falls back from ${plain(f.fallsBackFrom)} m while the motor still burns`,
      );
    case 'slowRail':
      return `It leaves the rail slowly for the wind: ${plain(f.speed)} m/s in ${plain(f.wind)} m/s of wind, so that the air meets it at ${degrees(f.angle)}; 15 deg is usual, which takes ${plain(f.enough)} m/s. ${f.rail > LONG_RAIL ? 'No rail does that: a stronger start' : `A rail of about ${plain(f.rail)} m, a stronger start`}, or less wind`;
    case 'liftoffUnseen':
      return `The computer never recognises liftoff: it feels at most ${plain(f.felt)} m/s² along the axis; the threshold is ${plain(f.threshold)} m/s² for ${plain(f.confirm)} s. Lower phases.liftoffThreshold (at rest it feels 9.8 m/s²)`;
    case 'burnoutUnseen':
      return `The computer never recognises burnout: coasting it still feels ${plain(f.felt)} m/s² or more; the threshold is ${plain(f.threshold)} m/s² for ${plain(f.confirm)} s. Raise phases.burnoutThreshold, or shorten phases.burnoutConfirm`;
    case 'descentUnseen':
      return `The computer never recognises the descent: at the end it believes to rise at ${plain(f.believedRise)} m/s. Its belief is wrong: check the sensors’ errors, phases.replay and computer.gravity`;
    case 'lostControl':
      return `It loses control ${burnWords(f.phase)}: tilt ${degrees(f.tilt)} at most, past the limit of ${degrees(f.limit)} at ${plain(f.time)} s`;
    case 'unstableUp':
      return unstableUpWords(f);
    case 'littleAuthority':
      return `The gimbal has little left ${burnWords(f.phase)}: at ${plain(f.time)} s the air’s moment takes ${share(f.share)} of the most that ${degrees(f.gimbal)} can give (air at ${degrees(f.angle)} to the axis); half is usual. More gimbal, a longer arm from nozzle to centre of mass, or air forces nearer the centre of mass`;
    case 'loop':
      return loopWords(f);
    case 'wrongInFlight':
      return f.phase === 'coast'
        ? `It turns over before apogee, coasting without thrust: tilt ${degrees(f.tilt)} at ${plain(f.time)} s. Nothing steers there; the air must hold it`
        : `It flips as it falls: tilt ${degrees(f.tilt)} at ${plain(f.time)} s, before the landing motor gives thrust`;
    case 'unstableDown':
      return `Falling tail first${f.legsOut ? ' with the legs out' : ' with the legs in'}, the air acts at ${plain(f.pressure)} m from the nose, the centre of mass lies at ${plain(f.mass)} m: ${plain(Math.abs(f.margin))} calibres too far aft, so the air turns it over${f.flipped ? '' : ' (it does not have the time to on this flight)'}. Mass nearer the tail, or area nearer the nose`;
    case 'legsLate':
      return legWords(f);
    case 'guardHeld':
      return `The tilt guard holds the ignition back${f.released ? ' for a time, so that it comes late' : ''}: the fall leans by up to ${degrees(f.tilt)}, the guard allows ${degrees(f.guard)}. Mend the fall; the guard is there because a motor that burns sideways is a hazard`;
    case 'neverLit':
      return `Rule ${f.rule} never lights: on the ground the computer still believes to be at ${plain(f.believedHeight)} m. Its constants do not fit this belief; alight tune finds better ones`;
    case 'fixedToFail':
      return `The study fixes ${f.input} at 1: the landing motor gives no thrust. Remove it from inputs, or give it a chance`;
    case 'cannotStop':
      return cannotStopWords(f);
    case 'climbs':
      return climbWords(f);
    case 'ruleOff':
      return ruleWords(f);
    case 'slides':
      return slideWords(f);
    case 'leans':
      return `It leans at touchdown: ${degrees(f.tilt)}, the limit is ${degrees(f.limit)}, turning at ${degrees(f.rate)}/s. Less drift damping or lean asked for (control.driftTilt), or an attitude loop that settles sooner`;
    case 'fallsOver':
      return `It falls over: feet ${millimetres(f.radius)} from the axis, centre of mass ${millimetres(f.height)} above them (it tips beyond ${degrees(f.stance)}), sliding at ${plain(f.slide)} m/s. ${f.needed === null ? 'Even feet three times as far out would not hold it: take away the slide' : `Feet ${millimetres(f.needed)} out would just have held it`}`;
    case 'tripsOver':
      return `It falls over on its legs, to ${degrees(f.lean)}: the ground’s friction is ${plain(f.friction)}, and the centre of mass ${millimetres(f.height)} above feet ${millimetres(f.radius)} from the axis. ${f.needed > f.radius ? `Feet ${millimetres(f.needed)} out slide on that ground and do not trip; or take away the slide and the turning` : 'The stance is wide enough for what slides upright: take away lean, turning and rebounds'}`;
    case 'legBreaks':
      return `A leg breaks at ${plain(f.force)} N, its strength is ${plain(f.strength)} N, though the sink of ${plain(f.sink)} m/s is under the ${plain(f.survivable)} m/s that all legs stand together: they come down one at a time. Less lean and turning, or stronger legs`;
    case 'neverRests':
      return `It does not come to rest: the ground slopes by ${degrees(f.slope)}, its friction is ${plain(f.friction)} (${degrees(Math.atan(f.friction))}), and its feet slide ${plain(f.slid)} m. Land it elsewhere, or damp legs that rock`;
    case 'narrowStance':
      return `The stance is narrow: it tips beyond ${degrees(f.stance)} (feet ${millimetres(f.radius)} out, centre of mass ${millimetres(f.height)} above them), less than the ${degrees(f.limit)} that limits.tilt calls landed. Feet at least ${millimetres(f.needed)} out`;
    case 'legGaveWay':
      return `A leg gives way: ${f.locked} of ${f.count} locked. A study that fixes a leg’s failure at 1 always loses it`;
    case 'outsideField':
      return `It comes down ${plain(f.distance)} m from the pad; limits.radius allows ${plain(f.limit)} m. Lean the rail into the wind, or fly lower`;
    case 'noResult':
      return `The flight comes to no result: ${f.reason}`;
  }
}

type Found<K extends NominalFinding['key']> = Extract<NominalFinding, { key: K }>;

function unstableUpWords(f: Found<'unstableUp'>): string {
  const kind = f.margin < 0 ? 'unstable' : 'barely stable';
  const seen = `At ${f.place} it is ${kind}: a margin of ${plain(f.margin)} calibres (the air acts at ${plain(f.pressure)} m from the nose, the centre of mass lies at ${plain(f.mass)} m${f.place === 'rail exit' ? '; with the wind' : ''})`;
  const held = f.held
    ? '. On this flight the gimbal holds it under thrust, and the coast is short enough'
    : '; one or two are usual where nothing steers';
  return `${seen}${held}. Mass forward, or area aft`;
}

function loopWords(f: Found<'loop'>): string {
  const place = `${burnWords(f.phase)} (at ${plain(f.time)} s)`;
  const m = f.margins;
  switch (f.fault) {
    case 'tooStrong':
      return `The attitude loop is unstable ${place}, its gains too strong for the servo’s lag and the tick: ${growthWords(m)}. ${m.lower === null ? 'Lower them' : `Gains times ${plain(m.lower)} or less are stable; take half of that`}, or a quicker servo`;
    case 'tooWeak':
      return `The attitude loop is unstable ${place}, its gains too weak for the air: ${growthWords(m)}. ${m.upper === null ? '' : `Gains times ${plain(m.upper)} or more are stable; take twice that`}`;
    case 'noGain':
      return `The attitude loop is unstable ${place}, with these gains or any factor on them: ${growthWords(m)}. ${mendWords(f)}`;
    case 'thin':
      return `The attitude loop has little margin ${place}: ${marginWords(m)}; 30 deg and a factor of 2 are usual. ${mendWords(f)}`;
    case 'slow':
      return `The attitude loop is slow ${place}: ${m.crossover === null ? 'it answers in no less time than the burn lasts' : `it answers in ${plain(1 / m.crossover)} s`}, and the burn lasts ${plain(f.burn)} s; a third of it is usual. Raise control.kp and control.kd together`;
  }
}

/** Whether servo and tick are to blame, or the balance of the gains. */
function mendWords({ margins, delay }: Found<'loop'>): string {
  const lagging = margins.crossover !== null && margins.crossover * delay > LAGGING;
  return lagging
    ? 'A quicker servo (vehicle.gimbal.lag), or lower gains'
    : 'More damping (control.kd), less integral (control.ki), or a vehicle that the air turns less';
}

function growthWords(m: LoopMargins): string {
  return `a disturbance doubles every ${plain(Math.LN2 / m.growth)} s`;
}

function marginWords(m: LoopMargins): string {
  const gains = [m.upper, m.lower].filter((gain) => gain !== null).map(plain);
  const parts = [
    ...(m.phase === null ? [] : [`phase margin ${degrees(m.phase)}`]),
    ...(gains.length === 0 ? [] : [`gains times ${gains.join(' or times ')} would be unstable`]),
  ];
  return parts.join(', ');
}

function legWords(f: Found<'legsLate'>): string {
  if (f.release === null) {
    return `The legs are not released before the touchdown at ${plain(f.contact)} s. Release them sooner (vehicle.legs.release), at least ${plain(f.deployment + 0.5)} s before it`;
  }
  const when = `released at ${plain(f.release)} s, they take ${plain(f.deployment)} s`;
  const mend = `Release them ${plain(f.earlier)} s sooner: half a second to spare is usual`;
  return f.spare < 0
    ? `The legs are out too late: ${when} and lock ${plain(-f.spare)} s after the touchdown. ${mend}`
    : `The legs are out late: ${when} and lock ${plain(f.spare)} s before the touchdown. ${mend}`;
}

function cannotStopWords(f: Found<'cannotStop'>): string {
  const fall = `${plain(f.mass)} kg from ${plain(f.apogee)} m, ${plain(f.fallSpeed)} m/s at the ground unbraked`;
  const softest = `the softest touchdown, wherever it is lit, is ${plain(f.sink)} m/s; the limit ${plain(f.limit)} m/s`;
  if (!Number.isFinite(f.needed)) {
    return `The landing motor cannot stop the fall (${fall}): its thrust is at most ${plain(f.peakThrust)} N, the weight ${plain(f.weight)} N; ${softest}. A stronger landing motor`;
  }
  const needs = `needs about ${plain(f.needed)} N s by the touchdown; has ${plain(f.impulse)} N s, ${plain(f.burnt)} of it burnt by then`;
  const mend =
    f.needed > f.impulse
      ? 'A bigger landing motor, a lower flight, or a lighter vehicle'
      : 'The impulse would be enough in a shorter, stronger burn: another curve, a lower flight, or a lighter vehicle';
  return `The landing motor cannot stop the fall: ${needs} (${fall}); ${softest}. ${mend}`;
}

function climbWords(f: Found<'climbs'>): string {
  const where = f.everywhere
    ? 'So it does even where lighting it is softest: a motor whose last part stays below the weight'
    : 'Lit lower it would not: see the rule’s height';
  const ratio = `thrust ${plain(f.ratio)} times the weight then`;
  if (f.climbed === 0) return `It lifts off again after touching down ${f.hops === 1 ? 'once' : `${f.hops} times`}: ${ratio}. ${where}`;
  return `It stops falling at ${plain(f.height)} m with ${plain(f.left)} s of burn left and climbs ${plain(f.climbed)} m: ${ratio}. ${where}`;
}

function ruleWords(f: Found<'ruleOff'>): string {
  const miss = f.lit - f.softest;
  const seen = `Rule ${f.rule} lights ${plain(Math.abs(miss))} m too ${miss > 0 ? 'high' : 'low'}: at ${plain(f.lit)} m (true) where ${plain(f.softest)} m is softest and ${plain(f.low)} to ${plain(f.high)} m keep the sink limit`;
  const c = f.constant;
  const mend =
    c === null
      ? 'No constant of it alone mends that'
      : `${c.key} ${plain(c.better)} ${unitWords(c.unit)}`.trimEnd().concat(` in place of ${plain(c.value)} would do on this flight`);
  return `${seen}. ${mend}; alight tune finds what lands most often`;
}

function slideWords(f: Found<'slides'>): string {
  const seen = `It slides at ${plain(f.slide)} m/s at touchdown, the limit is ${plain(f.limit)} m/s`;
  if (f.why === 'drift') {
    const damping =
      f.damping === 0
        ? 'control.driftDamping is 0, so nothing takes it out: about 0.05 s/m leans against it'
        : 'More control.driftDamping or control.driftTilt takes more of it out';
    return `${seen}: it came into the burn drifting at ${plain(f.drift)} m/s in ${plain(f.wind)} m/s of wind at the ground. ${damping}; so does leaning the rail into the wind`;
  }
  return `${seen}: the burn began at a drift of ${plain(f.drift)} m/s and pushed it sideways, leaning by up to ${degrees(f.leanInBurn)} (${degrees(f.tilt)} at touchdown). Less control.driftDamping, or an attitude loop that stands up sooner`;
}
