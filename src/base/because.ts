/**
 * Every reason and warning the program can give, as one closed union of codes. The core never makes sentences:
 * `web/wording` holds one for each code (what happened, what was kept, what to do), and a test holds that list complete.
 */

/** Why a line of an instrument was not taken as a reading. */
export const lineReasons = [
  'line-empty',
  'line-too-long',
  'line-not-printable',
  'line-checksum-wrong',
  'line-not-a-sentence',
  'line-field-wrong',
  'line-unknown-sentence',
  'line-no-number',
  'line-two-numbers',
  'line-unknown-word',
  'line-unknown-unit',
  'line-unit-missing',
] as const;

/** Why readings are not continuous, or an instrument stopped. Used in `!gap` marks and as void reasons. */
export const gapReasons = [
  'lines-lost',
  'board-restarted',
  'device-lost',
  'bytes-lost',
  'line-error',
  'buffer-overflow',
  'readings-stopped',
  'app-restarted',
] as const;

/** Why a catch gives no flow. A gap reason can also be one. */
export const voidReasons = [
  ...gapReasons,
  'lifted-while-filling',
  'tared-while-filling',
  'over-range',
  'too-short',
  'stopped-by-person',
  'display-frozen',
  'unit-unknown',
  'capture-ended-while-filling',
  'no-steady-window',
  'running-at-the-start',
  'below-checked-flow',
  'too-few-strokes',
] as const;

/** Why something announced as filling was judged not to be water. */
export const withdrawnReasons = [
  'pail-pushed',
  'too-short-and-fell-back',
  'too-slow',
  'not-straight',
  'settled-too-low',
  'part-of-one-pour',
] as const;

/** Doubts that leave a catch or an analysis standing. */
export const warnings = [
  'water-temperature-assumed',
  'setting-uncertainty-assumed',
  'scale-not-checked',
  'clock-not-checked',
  'averaging-unknown',
  'bumped-while-filling',
  'quantisation-resonance',
  'coarse-steps',
  'display-froze',
  'short-catch',
  'gap-while-filling',
  'wind-or-touch',
  'water-warm',
  'reference-from-rating',
  'unknown-mark',
  'unknown-header-key',
  'lines-refused',
  'lines-cut',
  'unit-changed',
  'capture-cut-short',
  'restart-before-catch',
  'meter-not-checked',
  'sensor-not-used',
  'dial-repeats-worse-than-stated',
  'scale-near-limit',
  'plateaus-do-not-match-plan',
  'simulated',
  'timed-by-hand',
  'readings-too-slow',
  'stands-apart',
  'scale-off',
  'scale-perhaps-tilted',
  'scale-not-linear',
  'zero-did-not-return',
  'scale-drifted',
  'scale-swallows-slow-change',
  'check-reference-poor',
  'meter-one-flow',
  'meter-not-straight',
  'meter-above-checked',
  'water-missing',
  'more-water-than-metered',
  'more-left-than-metered',
  'more-metered-than-left',
  'wand-moved',
  'flow-not-steady',
  'few-strokes',
  'off-the-beat',
  'rhythm-not-heard',
  'beat-not-told',
  'rig-read-as-held',
  'pumping-presses-on-scale',
  'hose-still-swelling',
] as const;

/** Why a number that could stand in a result is not there. */
export const absences = [
  'no-sensor',
  'none-announced',
  'plateau-of-a-pour',
  'catch-is-void',
  'no-curve',
  'no-catches',
  'no-settings',
  'one-setting-only',
  'two-catches-only',
  'too-few-settings',
  'fit-did-not-settle',
  'no-reference',
  'not-yet-supported',
  'unit-missing',
  'no-mass',
  'no-meter-factor',
  'no-degrees-of-freedom',
  'no-quiet-after',
  'outside-measured-range',
  'no-rated-flow',
  'not-enough-readings',
  'device-has-no-clock',
  'settings-too-close',
  'pressure-falls',
  'no-sweep-the-other-way',
] as const;

/** Why a request could not be done at all. */
export const refusals = [
  'file-not-found',
  'not-a-capture',
  'capture-version-newer',
  'capture-too-big',
  'capture-header-wrong',
  'capture-empty',
  'setting-not-positive',
  'setting-absurd',
  'settings-repeat',
  'settings-too-close',
  'no-pressure-sensor',
  'flow-not-positive',
  'volume-not-positive',
  'time-not-positive',
  'number-not-understood',
  'name-missing',
  'no-serial-here',
  'permission-refused',
  'port-busy-or-gone',
  'port-already-open',
  'no-port-picked',
  'no-readings-yet',
  'wrong-baud-likely',
  'not-an-instrument-we-read',
  'another-kind-of-instrument',
  'sweep-running',
  'no-sweep-running',
  'nothing-to-strike',
  'reason-needed',
  'will-not-fit',
  'storage-failed',
  'storage-full',
  'storage-newer',
  'record-not-found',
  'instrument-not-open',
  'worker-stopped',
  'check-mass-not-positive',
  'check-mass-too-big',
  'check-mass-too-small',
  'check-trickle-too-big',
  'check-water-temperature-missing',
  'check-water-out-of-range',
  'check-reference-unsure',
  'check-scale-absurd',
  'check-disturbed',
  'check-took-too-long',
  'check-running',
  'no-check-running',
  'nothing-to-decide',
  'scale-refused',
  'meter-factor-not-positive',
  'meter-needs-both',
  'clock-too-short',
  'pressure-zero-off',
  'pressure-points-too-close',
  'pressure-beyond-sensor',
  'pressure-gain-absurd',
  'beat-missing',
  'one-pour-needs-held-pressure',
  'meter-alone-needs-held-pressure',
  'tank-too-small',
  'sweeps-not-alike',
  'instruments-not-checked',
] as const;

export type LineReason = (typeof lineReasons)[number];
export type GapReason = (typeof gapReasons)[number];
export type VoidReason = (typeof voidReasons)[number];
export type WithdrawnReason = (typeof withdrawnReasons)[number];
export type Warning = (typeof warnings)[number];
export type Absence = (typeof absences)[number];
export type RefusalReason = (typeof refusals)[number];
export type Because =
  LineReason | GapReason | VoidReason | WithdrawnReason | Warning | Absence | RefusalReason;

export const everyBecause: readonly Because[] = [
  ...new Set<Because>([
    ...lineReasons,
    ...gapReasons,
    ...voidReasons,
    ...withdrawnReasons,
    ...warnings,
    ...absences,
    ...refusals,
  ]),
];
