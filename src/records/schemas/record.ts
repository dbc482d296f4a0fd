import * as v from 'valibot';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import type { BenchRecord } from '../bench-record.ts';
import {
  envelope,
  filledText,
  LONGEST_LIST,
  positive,
  quantity,
  text,
  uuid,
  withdrawnReason,
  wholeNumber,
} from './common.ts';
import { checkSchema, rigCheckSchema } from './check.ts';
import { analysedCatchSchema, shownResultSchema } from './result.ts';
import { captureHeaderSchema, instrumentSchema, setupSchema } from './setup.ts';

/** Thousands of marks: more than a day's. */
const LONGEST_MARKS = 1_000_000;

const handCatch = v.strictObject({
  setting_Pa: positive,
  duration_s: positive,
  volume_m3: positive,
  markSpacing_m3: positive,
});

export const benchRecordSchema = v.variant('kind', [
  v.strictObject({
    ...envelope,
    kind: v.literal('sweep'),
    setup: setupSchema,
    instrument: instrumentSchema,
    captureHeader: captureHeaderSchema,
    order_Pa: v.pipe(v.array(positive), v.maxLength(LONGEST_LIST)),
    trueNozzleConstant_m3_per_s_per_sqrtPa: v.nullable(positive),
  }),
  v.strictObject({
    ...envelope,
    kind: v.literal('catch'),
    index: wholeNumber,
    start_s: quantity,
    stop_s: quantity,
    setting_Pa: v.nullable(quantity),
    shown: analysedCatchSchema,
    estimatorVersion: filledText,
  }),
  v.strictObject({
    ...envelope,
    kind: v.literal('catch-withdrawn'),
    start_s: quantity,
    because: withdrawnReason,
  }),
  v.strictObject({ ...envelope, kind: v.literal('strike'), start_s: quantity, reason: text }),
  v.strictObject({ ...envelope, kind: v.literal('undo-strike'), start_s: quantity }),
  v.strictObject({
    ...envelope,
    kind: v.literal('sweep-end'),
    because: v.picklist(['done', 'ended-by-person']),
    shown: shownResultSchema,
    marks: v.nullable(v.pipe(v.string(), v.maxLength(LONGEST_MARKS))),
  }),
  v.strictObject({
    ...envelope,
    kind: v.literal('by-hand-sweep'),
    setup: setupSchema,
    catches: v.pipe(v.array(handCatch), v.maxLength(LONGEST_LIST)),
    shown: shownResultSchema,
  }),
  v.strictObject({
    ...envelope,
    kind: v.literal('instrument-check'),
    instrument: instrumentSchema,
    check: checkSchema,
  }),
  v.strictObject({ ...envelope, kind: v.literal('rig-check'), rigName: filledText, found: rigCheckSchema }),
  v.strictObject({
    ...envelope,
    kind: v.literal('tip'),
    name: filledText,
    isoSize: v.nullable(filledText),
    drawer: v.boolean(),
    retired: v.boolean(),
    note: text,
    baselineSweepIds: v.nullable(v.pipe(v.array(uuid), v.maxLength(LONGEST_LIST))),
    answered: v.exactOptional(
      v.pipe(v.array(v.strictObject({ sweepId: uuid, isThisTip: v.boolean() })), v.maxLength(LONGEST_LIST)),
    ),
  }),
]);

// Compile-time guard: the types and the schema have the same keys with the same types, at every depth. A plain assignment
// would let an optional key of the types be missing in the schema, and the strict schema would refuse it when it comes.
type Plain<T> = T extends object ? { readonly [K in keyof T]: Plain<T[K]> } : T;
type Shape = Plain<v.InferOutput<typeof benchRecordSchema>>;
// Two generic functions written out are compared exactly; behind a type alias they would be compared loosely.
/* eslint-disable @typescript-eslint/no-unnecessary-type-parameters */
export const schemaMatchesTypes: (<U>() => U extends Plain<BenchRecord> ? 1 : 2) extends <
  U,
>() => U extends Shape ? 1 : 2
  ? true
  : never = true;
/* eslint-enable @typescript-eslint/no-unnecessary-type-parameters */

/**
 * Is this, to the letter, a record of the present version?
 * Errors: `storage-failed` with the dotted `path` of the first thing wrong and what was `expected` there.
 */
export function parseRecord(candidate: unknown): Outcome<BenchRecord> {
  const parsed = v.safeParse(benchRecordSchema, candidate, { abortEarly: true });
  if (parsed.success) return ok(parsed.output);
  const [issue] = parsed.issues;
  return refused('storage-failed', {
    path: v.getDotPath(issue) ?? '',
    expected: issue.expected ?? issue.message,
  });
}
