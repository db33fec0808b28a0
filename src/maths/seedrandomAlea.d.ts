/** The one generator of seedrandom that is used, loaded alone: the package's main file loads all and node:crypto. */
declare module 'seedrandom/lib/alea.js' {
  interface AleaState {
    readonly s0: number;
    readonly s1: number;
    readonly s2: number;
  }
  interface AleaGenerator {
    /** 53 bits, in [0, 1). */
    double(): number;
    /** Only where it was asked for. */
    state(): AleaState;
  }
  export default function alea(key: string, options?: { readonly state: true }): AleaGenerator;
}
