declare module "quadprog" {
  /** minimises 1/2 x'Dx - d'x within A'x >= b; everything counts from 1 */
  export function solveQP(
    D: number[][],
    d: number[],
    A: number[][],
    b: number[],
  ): { solution: number[]; Lagrangian: number[]; message: string };
}
