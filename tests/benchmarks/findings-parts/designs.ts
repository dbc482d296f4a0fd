import type { Design } from './made-findings.ts';
import type { NamedTruth } from './score-findings.ts';

/** The study's two: catches of 1 % with a free knob of 1.5 psi; 0.3 % with 0.25 psi. Reference to 1 %. */
export const usual: Design = {
  name: '1 %, 1.5 psi, re-set',
  protocol: 're-set',
  catchRelative: 0.01,
  dial_psi: 1.5,
  reference: 0.01,
};
export const fine: Design = {
  ...usual,
  name: '0.3 %, 0.25 psi, re-set',
  catchRelative: 0.003,
  dial_psi: 0.25,
};
const allThree = ['dial-at-zero', 'flow-stops-at', 'blank-tip'] as const;
const withChecks = (design: Design): Design => ({
  ...design,
  name: `${design.name}, three rig checks`,
  checks: allThree,
});

export const mainDesigns: readonly Design[] = [usual, withChecks(usual), fine, withChecks(fine)];

/** Faults averaged. */
export const furtherDesigns: readonly Design[] = [
  { ...usual, name: '1 %, 1.5 psi, set once', protocol: 'set-once' },
  { ...usual, name: '0.3 %, 1.5 psi, re-set', catchRelative: 0.003 },
  { ...usual, name: '1 %, 0.25 psi, re-set', dial_psi: 0.25 },
  { ...fine, name: '0.3 %, 0.25 psi, reference 0.3 %', reference: 0.003 },
  { ...usual, name: '1 %, 1.5 psi, reference 2.5 % (rating)', reference: 0.025 },
  { ...usual, name: '1 %, 1.5 psi, dial at zero', checks: ['dial-at-zero'] },
  { ...usual, name: '1 %, 1.5 psi, flow stops at', checks: ['flow-stops-at'] },
  { ...usual, name: '1 %, 1.5 psi, blank tip', checks: ['blank-tip'] },
  { ...usual, name: '1 %, 1.5 psi, gauge at the wand, 0.7 psi', checks: ['wand-gauge'] },
  { ...usual, name: '1 %, 1.5 psi, one pour of 5 settings', protocol: 'set-once', catchesPerSetting: 1 },
  { ...fine, name: '0.3 %, 0.25 psi, one pour of 5 settings', protocol: 'set-once', catchesPerSetting: 1 },
  { ...usual, name: '1 %, 1.5 psi, two catches each', catchesPerSetting: 2 },
  { ...usual, name: '1 %, 1.5 psi, six catches each', catchesPerSetting: 6 },
];

/** Doubts of each catch estimated with few degrees of freedom, as from a scale, or stated too small: healthy sweeps only. */
export const healthyDesigns: readonly Design[] = [
  { ...usual, name: '1 %, 1.5 psi, own from 4 df', ownDegreesOfFreedom: 4 },
  { ...usual, name: '1 %, 0.25 psi, own from 4 df', dial_psi: 0.25, ownDegreesOfFreedom: 4 },
  {
    ...fine,
    name: '0.3 %, 0.25 psi, own from 3 df, reference 0.3 %',
    ownDegreesOfFreedom: 3,
    reference: 0.003,
  },
  {
    ...usual,
    name: '1 %, 0.25 psi, one pour, own from 4 df',
    protocol: 'set-once',
    dial_psi: 0.25,
    catchesPerSetting: 1,
    ownDegreesOfFreedom: 4,
  },
  {
    ...fine,
    name: '0.3 %, 0.25 psi, one pour, own from 3 df, reference 0.3 %',
    protocol: 'set-once',
    catchesPerSetting: 1,
    ownDegreesOfFreedom: 3,
    reference: 0.003,
  },
  {
    ...usual,
    name: '1 %, 0.25 psi, two catches each, own from 4 df',
    dial_psi: 0.25,
    catchesPerSetting: 2,
    ownDegreesOfFreedom: 4,
  },
  {
    ...fine,
    name: '0.3 %, sensor 0.1 psi noise and 0.43 psi zero, own from 4 df',
    dial_psi: 1.5,
    ownDegreesOfFreedom: 4,
    sensor: { noise_psi: 0.1, zero_psi: 0.43 },
  },
  { ...usual, name: '1 %, knob of 2.5 psi stated as 1.5', dial_psi: 2.5, statedDial_psi: 1.5 },
];

/** Measurement 5.4: no single cause of the list; what is said, and does the fit test object? */
export const combined: readonly (NamedTruth & { readonly order?: Design['order'] })[] = [
  {
    name: 'worn 10 + check valve 8 psi',
    right: 'no fault shown',
    factor: [1.1, 1.1],
    threshold_psi: [8, 8],
  },
  { name: 'worn 5 + leak 6 %', right: 'no fault shown', factor: [1.05, 1.05], leakShare: [0.06, 0.06] },
  { name: 'dial gain +8 %', right: 'no fault shown', dialGain: 1.08 },
  { name: 'blocked 10 + leak 6 %', right: 'no fault shown', factor: [0.9, 0.9], leakShare: [0.06, 0.06] },
  { name: 'worn 15 + cap', right: 'no fault shown', factor: [1.15, 1.15], cap_psi: 50 },
  {
    name: 'leak opening only above 45 psi',
    right: 'no fault shown',
    leakShare: [0.06, 0.06],
    leakAbove_psi: 45,
  },
  {
    name: 'battery -3 % over the session, settings in order',
    right: 'no fault shown',
    sag: -0.03,
    order: 'as-listed',
  },
  { name: 'battery -3 %, random order', right: 'no fault shown', sag: -0.03, order: 'random' },
];

/** What the single-fault rule was not made for. */
export const sensitivity: readonly NamedTruth[] = [
  { name: 'leak 8 %, exponent 0.5', right: 'leaking', leakShare: [0.08, 0.08], leakExponent: 0.5 },
  { name: 'leak 8 %, exponent 1.0', right: 'leaking', leakShare: [0.08, 0.08], leakExponent: 1 },
  { name: 'leak 8 %, exponent 1.5', right: 'leaking', leakShare: [0.08, 0.08], leakExponent: 1.5 },
  { name: '15 % of the pressure lost on the way', right: 'no fault shown', lost: 0.15 },
  { name: 'worn 10, 15 % of the pressure lost', right: 'worn', factor: [1.1, 1.1], lost: 0.15 },
];
