import * as v from 'valibot';
import { absences, voidReasons, warnings, withdrawnReasons } from '../../base/because.ts';
import { RECORD_VERSION } from '../envelope.ts';

// Caps stand well above anything real; they keep a damaged or hostile file from filling the memory.
const LONGEST_TEXT = 4096;
export const LONGEST_LIST = 100_000;

export const quantity = v.pipe(v.number(), v.finite());
export const positive = v.pipe(quantity, v.gtValue(0));
export const notNegative = v.pipe(quantity, v.minValue(0));
export const wholeNumber = v.pipe(v.number(), v.safeInteger(), v.minValue(0));
export const text = v.pipe(v.string(), v.maxLength(LONGEST_TEXT));
export const filledText = v.pipe(text, v.minLength(1));
export const uuid = v.pipe(v.string(), v.uuid());
export const quantities = v.pipe(v.array(quantity), v.maxLength(LONGEST_LIST));
export const indices = v.pipe(v.array(wholeNumber), v.maxLength(LONGEST_LIST));

export const absence = v.picklist(absences);
export const warning = v.picklist(warnings);
export const voidReason = v.picklist(voidReasons);
export const withdrawnReason = v.picklist(withdrawnReasons);
export const warningList = v.pipe(v.array(warning), v.maxLength(LONGEST_LIST));

/** The entries that every kind of record has beside its `kind`. */
export const envelope = {
  id: uuid,
  recordVersion: v.literal(RECORD_VERSION),
  sweepId: uuid,
  recordedAt_ms: v.pipe(v.number(), v.safeInteger()),
  // The shape of an IANA name only: which zones a browser knows changes with the years, old records must still open.
  timeZone: v.pipe(v.string(), v.maxLength(64), v.regex(/^[A-Za-z][A-Za-z0-9_+\-/]*$/u)),
  replaces: v.nullable(uuid),
  simulated: v.boolean(),
  appVersion: filledText,
};
