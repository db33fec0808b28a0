/**
 * The house's one-way road, imports of types included: which folder may import which. The table below is the rule; a
 * failure lists what is allowed.
 */
import { cruise, type IDependency, type IModule, type IReporterOutput } from 'dependency-cruiser';
import { describe, expect, it } from 'vitest';

/** Files of src itself that anybody may import; they import nothing but each other. */
const COMMON = ['errors.ts', 'packageFile.ts', 'printable.ts'];

/** Folder of src -> folders it may import, beside itself and the common files. `index.ts` is the door for programs. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  maths: [],
  inputs: ['maths'],
  plant: ['maths'],
  avionics: ['maths'],
  study: ['inputs', 'maths', 'plant', 'avionics'],
  recordings: ['study', 'maths'],
  sampling: ['study', 'inputs', 'maths'],
  flight: ['sampling', 'study', 'inputs', 'plant', 'avionics', 'maths'],
  fleet: ['flight', 'sampling', 'study', 'inputs', 'maths'],
  results: ['fleet', 'flight', 'sampling', 'study', 'inputs', 'maths'],
  statistics: ['maths'],
  analysis: ['statistics', 'recordings', 'results', 'fleet', 'flight', 'sampling', 'study', 'inputs', 'plant', 'avionics', 'maths'],
  report: ['analysis', 'statistics', 'results', 'fleet', 'flight', 'sampling', 'study', 'inputs', 'avionics', 'maths'],
  cli: [
    'report',
    'analysis',
    'statistics',
    'recordings',
    'results',
    'fleet',
    'flight',
    'sampling',
    'study',
    'inputs',
    'plant',
    'avionics',
    'maths',
  ],
  'index.ts': ['report', 'analysis', 'statistics', 'results', 'fleet', 'flight', 'sampling', 'study', 'inputs'],
  'bundle.mjs': [],
  'errors.ts': [],
  'packageFile.ts': [],
  'printable.ts': [],
};

/** Rooms of analysis, by the question asked: those before stand below. */
const ROOMS = [
  'flights',
  'drops',
  'shift',
  'fly',
  'compare',
  'nominal',
  'tune',
  'campaign',
  'rank',
  'designs',
  'measure',
  'logbook',
  'learn',
  'replay',
  'read',
  'card',
  'join',
  'jobs',
];

/**
 * Of fleet/, only the worker's entry may fly: the rest knows flight/ by its table of outputs and the shape of a
 * variation.
 */
const FLIGHT_IN_FLEET = ['src/fleet/worker.ts'];

/** Name a path goes by in the table. */
function room(path: string): string | null {
  const parts = path.split('/');
  return parts[0] === 'src' ? parts[1] : null;
}

/** An import that is gone once the program is built. */
function isType(d: IDependency): boolean {
  return d.typeOnly === true || d.dependencyTypes.includes('type-only');
}

async function modules(): Promise<readonly IModule[]> {
  const result: IReporterOutput = await cruise(['src'], { doNotFollow: { path: 'node_modules' }, tsPreCompilationDeps: true }, undefined, {
    tsConfig: undefined,
  });
  if (typeof result.output === 'string') throw new Error(result.output);
  return result.output.modules.filter((m) => m.source.startsWith('src/'));
}

describe('imports follow the road', async () => {
  const all = await modules();

  it('finds the whole house', () => {
    expect(all.length).toBeGreaterThan(60);
  });

  it.each(Object.keys(MAY_IMPORT))('%s imports only what it may', (folder) => {
    const allowed = [...MAY_IMPORT[folder], ...COMMON];
    const wrong = all
      .filter((m) => room(m.source) === folder)
      .flatMap((m) => m.dependencies.map((d) => ({ from: m.source, to: d.resolved })))
      .filter(({ to }) => {
        const target = room(to);
        return target !== null && target !== folder && !allowed.includes(target);
      })
      .map(({ from, to }) => `${from} imports ${to}; ${folder} may import: ${allowed.join(', ') || 'nothing'}`);
    expect(wrong).toEqual([]);
  });

  it('every folder is in the table', () => {
    const rooms = new Set(all.map((m) => room(m.source)));
    expect([...rooms].filter((r) => r !== null && !(r in MAY_IMPORT))).toEqual([]);
  });

  it('the rooms of analysis stand in a row, and import only from rooms before them', () => {
    const place = (path: string): number => ROOMS.indexOf(path.split('/')[2]);
    const inside = all.filter((m) => m.source.startsWith('src/analysis/'));
    expect(inside.map((m) => m.source).filter((source) => place(source) < 0)).toEqual([]);
    const wrong = inside.flatMap((m) =>
      m.dependencies
        .filter((d) => d.resolved.startsWith('src/analysis/') && place(d.resolved) > place(m.source))
        .map((d) => `${m.source} imports ${d.resolved}; the rooms are in the order ${ROOMS.join(', ')}`),
    );
    expect(wrong).toEqual([]);
  });

  it('only the worker flies in fleet', () => {
    const wrong = all
      .filter((m) => m.source.startsWith('src/fleet/') && !FLIGHT_IN_FLEET.includes(m.source))
      .flatMap((m) => m.dependencies.filter((d) => !isType(d)).map((d) => d.resolved))
      .filter((to) => to.startsWith('src/flight/') && to !== 'src/flight/outputs.ts');
    expect(wrong).toEqual([]);
  });

  it('has no cycle', () => {
    const circles = all.flatMap((m) => m.dependencies.filter((d) => d.circular).map((d) => `${m.source} -> ${d.resolved}`));
    expect(circles).toEqual([]);
  });

  /** Every module that loading this one loads. */
  const loadedWith = (entry: string): Set<string> => {
    const reached = new Set<string>();
    const visit = (source: string): void => {
      if (reached.has(source)) return;
      reached.add(source);
      const module = all.find((m) => m.source === source);
      for (const d of module?.dependencies ?? []) if (!isType(d) && !d.dynamic) visit(d.resolved);
    };
    visit(entry);
    return reached;
  };

  it('reading results loads no thread pool', () => {
    const reached = loadedWith('src/analysis/read/readResults.ts');
    expect(reached).toContain('src/results/reader.ts');
    expect(reached).not.toContain('src/fleet/pool.ts');
  });

  it('a thread loads neither what reads studies nor what writes results', () => {
    const reached = loadedWith('src/fleet/worker.ts');
    expect(reached).toContain('src/flight/kernel/file.ts');
    // Of packages, only what starts streams; each thread of each run pays for what it loads.
    expect([...reached].filter((path) => /node_modules/.test(path))).toEqual(['node_modules/seedrandom/lib/alea.js']);
    expect([...reached].filter((path) => /crypto/.test(path))).toEqual([]);
  });

  it('truth and belief do not know each other', () => {
    const crossing = all.flatMap((m) => {
      const other = m.source.startsWith('src/plant/') ? 'src/avionics/' : m.source.startsWith('src/avionics/') ? 'src/plant/' : null;
      return other === null ? [] : m.dependencies.map((d) => d.resolved).filter((to) => to.startsWith(other));
    });
    expect(crossing).toEqual([]);
  });
});
