import type { Because } from './because.ts';

/** An expected refusal is a value, not a throw: it crosses the worker's border whole and the caller can't forget it. */
export type Outcome<T> = { readonly ok: true; readonly value: T } | Refusal;

export interface Refusal {
  readonly ok: false;
  readonly because: Because;
  /** Facts for the sentence, units in the names (for example `size_bytes`, `limit_bytes`, `line`). */
  readonly facts?: Readonly<Record<string, string | number>>;
}

export function ok<T>(value: T): Outcome<T> {
  return { ok: true, value };
}

export function refused(because: Because, facts?: Readonly<Record<string, string | number>>): Refusal {
  return facts === undefined ? { ok: false, because } : { ok: false, because, facts };
}
