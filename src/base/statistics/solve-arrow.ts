import { solveSymmetric } from './solve-symmetric.ts';

export interface SolvedArrow {
  readonly solution: readonly number[];
  readonly inverseColumn: (column: number) => readonly number[];
}

export type Slope = readonly [place: number, slope: number];

/** Normal equations as they are gathered, one observation after the other. */
export interface ArrowEquations {
  /** weight·residual² with its derivatives: those of one block, and of what all share. */
  readonly add: (slopes: readonly Slope[], residual: number, weight: number) => void;
  readonly diagonal: (place: number) => number;
  /** Null where they are singular: unknowns that the data can't tell. */
  readonly solve: () => SolvedArrow | null;
}

/** Left of a row's own square, relative, below which it is taken as a sum of the others; as in `solveSymmetric`. */
const SINGULAR = 1e-12;

/**
 * What: A·x = b, symmetric positive definite, for many small blocks of unknowns (one or two each) that touch only one another and what
 *   all share: an arrow. The answer is that of `solveSymmetric`; the time grows with the number of blocks, not with its cube.
 * Formula: Schur complement, S − Σ Bᵀ·A⁻¹·B over the blocks. Source: any text on numerical linear algebra.
 * `block` of each place, −1 for what is shared. Errors: RangeError for a block of more than two, or an observation that joins two.
 */
export function arrowEquations(block: readonly number[]): ArrowEquations {
  const blocks = Math.max(-1, ...block) + 1;
  const size = new Int32Array(blocks);
  let shared = 0;
  /** Within its block, or within what is shared. */
  const rank = block.map((b) => (b < 0 ? shared++ : size[b]!++));
  if (size.some((n) => n > 2)) throw new RangeError('a block has one unknown or two');
  // Own: [a00, a01, a11]; across: two rows to what is shared.
  const own = new Float64Array(3 * blocks);
  const across = new Float64Array(2 * shared * blocks);
  const ownRight = new Float64Array(2 * blocks);
  const core = Array.from({ length: shared }, () => new Array<number>(shared).fill(0));
  const coreRight = new Array<number>(shared).fill(0);

  // Called for every observation of every step: plain loops.
  function add(slopes: readonly Slope[], residual: number, weight: number): void {
    const count = slopes.length;
    let mine = -1;
    for (let n = 0; n < count; n++) {
      const b = block[slopes[n]![0]]!;
      if (b < 0) continue;
      if (mine >= 0 && b !== mine) throw new RangeError('an observation joins two blocks');
      mine = b;
    }
    for (let n = 0; n < count; n++) {
      const i = slopes[n]![0];
      const weighted = weight * slopes[n]![1];
      const row = rank[i]!;
      if (block[i]! < 0) {
        coreRight[row]! += weighted * residual;
        const coreRow = core[row]!;
        for (let m = 0; m < count; m++) {
          const j = slopes[m]![0];
          if (block[j]! < 0) coreRow[rank[j]!]! += weighted * slopes[m]![1];
        }
        continue;
      }
      ownRight[2 * mine + row]! += weighted * residual;
      const at = (2 * mine + row) * shared;
      for (let m = 0; m < count; m++) {
        const j = slopes[m]![0];
        const column = rank[j]!;
        if (block[j]! < 0) across[at + column]! += weighted * slopes[m]![1];
        else if (row <= column) own[3 * mine + row + column]! += weighted * slopes[m]![1];
      }
    }
  }

  function solve(): SolvedArrow | null {
    const inverse = new Float64Array(3 * blocks);
    // A⁻¹·B of each block.
    const through = new Float64Array(across.length);
    const left = core.map((row) => [...row]);
    for (let b = 0; b < blocks; b++) {
      const [a00, a01, a11] = [own[3 * b]!, own[3 * b + 1]!, own[3 * b + 2]!];
      const isPair = size[b] === 2;
      const determinant = isPair ? a00 * a11 - a01 * a01 : a00;
      if (!(determinant > (isPair ? SINGULAR * a00 * a11 : 0))) return null;
      inverse.set(isPair ? [a11 / determinant, -a01 / determinant, a00 / determinant] : [1 / a00], 3 * b);
      const at = 2 * b * shared;
      for (let j = 0; j < shared; j++) {
        const [x, y] = [across[at + j]!, across[at + shared + j]!];
        through[at + j] = inverse[3 * b]! * x + inverse[3 * b + 1]! * y;
        through[at + shared + j] = inverse[3 * b + 1]! * x + inverse[3 * b + 2]! * y;
      }
      for (let i = 0; i < shared; i++) {
        const [x, y] = [across[at + i]!, across[at + shared + i]!];
        if (x === 0 && y === 0) continue;
        const row = left[i]!;
        for (let j = 0; j < shared; j++) row[j]! -= x * through[at + j]! + y * through[at + shared + j]!;
      }
    }
    for (let i = 0; i < shared; i++) if (!(left[i]![i]! > SINGULAR * core[i]![i]!)) return null;
    const solved = solveSymmetric(left, coreRight);
    if (solved === null) return null;
    const coreInverse = solved.inverse();

    const answer = (rightOwn: Float64Array, rightShared: readonly number[]): number[] => {
      const reduced = [...rightShared];
      for (let b = 0; b < blocks; b++) {
        const [x, y] = [rightOwn[2 * b]!, rightOwn[2 * b + 1]!];
        if (x === 0 && y === 0) continue;
        const at = 2 * b * shared;
        for (let j = 0; j < shared; j++) reduced[j]! -= through[at + j]! * x + through[at + shared + j]! * y;
      }
      const found = coreInverse.map((row) => row.reduce((sum, value, j) => sum + value * reduced[j]!, 0));
      return block.map((b, place) => {
        const r = rank[place]!;
        if (b < 0) return found[r]!;
        let value = inverse[3 * b + r]! * rightOwn[2 * b]! + inverse[3 * b + r + 1]! * rightOwn[2 * b + 1]!;
        const at = (2 * b + r) * shared;
        for (let j = 0; j < shared; j++) value -= through[at + j]! * found[j]!;
        return value;
      });
    };
    return {
      solution: answer(ownRight, coreRight),
      inverseColumn: (column) => {
        const rightOwn = new Float64Array(2 * blocks);
        const rightShared = new Array<number>(shared).fill(0);
        if (block[column]! < 0) rightShared[rank[column]!] = 1;
        else rightOwn[2 * block[column]! + rank[column]!] = 1;
        return answer(rightOwn, rightShared);
      },
    };
  }

  return {
    add,
    solve,
    diagonal: (place) => {
      const r = rank[place]!;
      return block[place]! < 0 ? core[r]![r]! : own[3 * block[place]! + 2 * r]!;
    },
  };
}
