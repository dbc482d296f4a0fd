/** What the curve says, in trade words: one sentence, the rule it rests on, what to do, and the test that would settle it. */
import type { Diagnosis, FinerCause, NoDiagnosis, SettlingTest } from '../contract.ts';
import { sentenceOf } from './because.ts';
import { knownLoss } from './flow-lost.ts';
import { isOpen, openText, type Rated } from './near-limit.ts';
import { fixed, withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

type Said = Pick<Diagnosis, 'pressureMayBeLost'>;

export function isDiagnosis(found: Diagnosis | NoDiagnosis): found is Diagnosis {
  return 'finding' in found;
}

/** What is drawn in red: a fault, or a curve that nothing explains; not a check valve, which does its work. */
export function isFault({ said }: Pick<Diagnosis, 'said'>): boolean {
  return said !== 'no fault shown' && said !== 'check-valve';
}

const causeWords: Readonly<Record<FinerCause, string>> = {
  'no fault shown': 'no fault shown',
  worn: 'worn',
  restricted: 'restricted',
  leaking: 'leaking',
  'pump-limited': 'pump-limited',
  'dial-low': 'dial low',
  'dial-high': 'dial high',
  'check-valve': 'check valve',
  'dial-high-or-check-valve': 'dial high or check valve',
};

/** "restricted, or pressure lost before the tip": never alone where the one can't be told from the other. */
export function causeText(cause: FinerCause, { pressureMayBeLost }: Said): string {
  return cause === 'restricted' && pressureMayBeLost
    ? 'restricted, or pressure lost before the tip'
    : causeWords[cause];
}

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

export const referenceWords: Readonly<Record<Diagnosis['reference']['from'], string>> = {
  baseline: 'its own baseline',
  rated: 'the stamp on it',
  'drawer-tip': 'the tip from the drawer',
  told: 'the reference that was told',
};

/** "9 %, give or take 2": a share with its half-width, both as fractions. */
export function shareText(share: number, expanded: number): string {
  const cut = withUncertainty(Math.abs(share) * 100, expanded * 100);
  return cut === null
    ? `${fixed(Math.abs(share) * 100, 1)} %`
    : `${cut.value} %, give or take ${cut.plusMinus}`;
}

/** "4 psi, give or take 1" */
function pressureShare(value_Pa: number, expanded_Pa: number, units: ShownUnits): string {
  const { pressure } = units;
  const cut = withUncertainty(pressure.fromSI(Math.abs(value_Pa)), pressure.fromSI(expanded_Pa));
  return cut === null
    ? pressureText(Math.abs(value_Pa), units)
    : `${cut.value} ${pressure.label}, give or take ${cut.plusMinus}`;
}

/** How large it is; empty where nothing was measured of it. */
export function sizeText(diagnosis: Diagnosis, units: ShownUnits): string {
  const { size } = diagnosis;
  if (size === null) return '';
  const { value, expandedUncertainty95: half } = size;
  const against = referenceWords[diagnosis.reference.from];
  switch (size.of) {
    case 'constant-ratio':
      return `${shareText(value - 1, half)}, ${value < 1 ? 'under' : 'over'} ${against}`;
    case 'leak-share':
      return `at the highest setting ${shareText(value, half)}, more than the tip itself gives`;
    case 'pump-pressure_Pa':
      return `the pump gives no more than ${pressureShare(value, half, units)}`;
    case 'offset_Pa':
      return diagnosis.said === 'dial-low'
        ? `the tip gets ${pressureShare(value, half, units)}, more than the dial says`
        : `the tip gets ${pressureShare(value, half, units)}, less than the dial says`;
  }
}

function nothingFound(diagnosis: Diagnosis, rated: Rated): string {
  const lost = knownLoss(diagnosis);
  const hides = lost === null ? 'pressure may be lost before the tip, and that would hide wear' : lost;
  const stamp = isOpen(rated) ? `${openText(rated)}; and ` : '';
  if (diagnosis.pressureMayBeLost) return `No fault shown; but ${stamp}${hides}.`;
  if (lost !== null) return `No fault shown in the tip; but ${stamp}${lost}.`;
  const from = referenceWords[diagnosis.reference.from];
  if (!isOpen(rated)) return `No fault shown: it gives what ${from} says.`;
  return diagnosis.reference.from === 'rated'
    ? `No fault shown, but ${openText(rated)}.`
    : `No fault shown against ${from}; but ${openText(rated)}.`;
}

/**
 * The one plain sentence.
 * @param rated how it stands against the stamp: "no fault shown" never stands above "too near the limit" without a word of it.
 */
export function findingSentence(diagnosis: Diagnosis, units: ShownUnits, rated: Rated = null): string {
  const { said, orElse } = diagnosis;
  if (said === null) return 'None of the causes we know gives this curve.';
  if (said === 'no fault shown') return nothingFound(diagnosis, rated);
  const named = capital(causeText(said, diagnosis));
  // Of two that both fit no size is told: it would be the size of the one.
  if (orElse !== null && orElse !== said)
    return `${named}, or ${causeText(orElse, diagnosis)}: both give this curve.`;
  const size = sizeText(diagnosis, units);
  if (said === 'dial-high-or-check-valve')
    return `${named}: one curve, two causes${size === '' ? '.' : `; ${size}.`}`;
  return size === '' ? `${named}.` : `${named}: ${size}.`;
}

/** In few words, for a row of the Rack. */
export function findingInBrief(diagnosis: Diagnosis): string {
  const { said, orElse } = diagnosis;
  if (said === null) return 'None of the causes we know';
  if (said === 'no fault shown') {
    const lost = knownLoss(diagnosis);
    if (lost !== null && !diagnosis.pressureMayBeLost) return `No fault shown in the tip; ${lost}`;
    return diagnosis.pressureMayBeLost
      ? 'No fault shown, unless pressure is lost before the tip'
      : 'No fault shown';
  }
  const size =
    diagnosis.size?.of === 'constant-ratio' && orElse === null
      ? ` ${fixed(Math.abs(diagnosis.size.value - 1) * 100, 0)} %`
      : '';
  const named = `${capital(causeText(said, diagnosis))}${orElse === null || orElse === said ? '' : `, or ${causeText(orElse, diagnosis)}`}`;
  const look = diagnosis.standing === 'look-again' ? '; measure it again' : '; found twice';
  return `${named}${size === '' ? '' : `,${size}`}${look}`;
}

const remedies: Readonly<Record<FinerCause, string>> = {
  'no fault shown': '',
  worn: 'Replace the tip; or the reference is wrong, which no repeat can show: measure that again where you can.',
  restricted:
    'Take out tip and strainer and clean them with water and a soft brush, never with wire or by mouth; then measure again.',
  leaking: 'Look at the gasket and the seat of the tip, and put in a new gasket; then measure again.',
  'pump-limited': 'Charge the battery or look after the pump; until then use no setting above that.',
  'dial-low':
    'Go by the flow measured at the mark of the dial, not by the number on it; or have the dial put right.',
  'dial-high':
    'Go by the flow measured at the mark of the dial, not by the number on it; or have the dial put right.',
  'check-valve': 'Nothing is broken. Go by the flow measured at the mark of the dial.',
  'dial-high-or-check-valve':
    'Go by the flow measured at the mark of the dial; the test below tells which it is.',
};

/** After a first finding: look again. After the second: what to do. Empty when there is nothing to do. */
export function standingSentence(diagnosis: Diagnosis): string {
  const { said, orElse, standing } = diagnosis;
  if (said === 'no fault shown' || standing === 'nothing-found') return '';
  // The blank tip is left out of the tests once it was made: then it is the seal's turn, not another curve's.
  if (said === 'leaking' && orElse === null && !diagnosis.settledBy.includes('blank-tip'))
    return 'The blank tip was tried: look at the seal, the gasket and the threads; then catch again.';
  if (standing === 'look-again') return 'Seen for the first time: look again before you change anything.';
  if (said === null) return 'A second sweep says the same: look at rig and tip, and at what changed between.';
  if (diagnosis.warnings.includes('far-from-reference'))
    return 'A second sweep says the same. Is this the tip? Look at it and at what is stamped on it before you change anything.';
  if (orElse !== null && orElse !== said)
    return 'A second sweep says the same; which of the two it is, the test below tells.';
  return `A second sweep says the same. ${remedies[said]}`;
}

const touchesTip = new Set<FinerCause>(['worn', 'restricted', 'leaking']);

/** Where a hand goes to the tip: what comes before. Empty else. */
export function tipCaution(diagnosis: Diagnosis): string {
  const names = [diagnosis.said, diagnosis.orElse];
  return names.some((name) => name !== null && touchesTip.has(name))
    ? 'Before a tip is changed or taken out: pump off, trigger open, pressure at zero.'
    : '';
}

export const findingWords = {
  settles: 'What would settle it, in this order',
  settlesOne: 'What would settle it',
  later: 'For later sweeps',
  toGet: 'How to get one',
  now: 'What the curve says now',
  next: 'Next',
  rule: 'What it rests on',
} as const;

interface TestWords {
  /** What it is, as the name of a link. */
  readonly name: string;
  /** What is done, and what it tells. */
  readonly how: string;
  /** There is a routine for it on the Bench. */
  readonly routine: boolean;
}

const t = (name: string, how: string, routine = true): TestWords => ({ name, how, routine });

export const testWords: Readonly<Record<SettlingTest, TestWords>> = {
  'dial-at-zero': t(
    'Read the dial at zero',
    'Pump off, trigger open, pressure gone: what does the dial show? Tells a dial that is off from a tip or a valve.',
  ),
  'flow-stops-at': t(
    'Turn down until the flow stops',
    'Spray into the pail and turn down slowly: at which mark does it stop? Tells a check valve.',
  ),
  'blank-tip': t(
    'A blank tip under pressure',
    'Below the rating of the weakest part, nobody in line, never on a pump without a bypass or pressure switch: what still comes out is the leak.',
  ),
  'wand-gauge': t(
    'A gauge at the wand, water running',
    'Shows the pressure that reaches the tip: tells what is lost on the way from what the tip does.',
  ),
  'second-sweep': t('A second sweep of this tip', 'Does it say the same once more?'),
  'take-a-baseline': t(
    'A baseline for this tip',
    'When a tip is new, its first sweeps become what it is held against: three or more are better than one.',
  ),
  'stamp-or-baseline': t(
    'Something to hold it against',
    'Type what is stamped on the tip, its flow and its pressure; or measure a new tip and let that be its baseline.',
  ),
  'measure-the-reference-again': t(
    'Measure the reference again',
    'A reference that is wrong says the same in every sweep. Measure a new tip of this size, or the one from the drawer.',
    false,
  ),
  'check-the-meter': t('Check the meter', 'Against the scale, at two flows or more.'),
  'check-the-scale': t('Check the scale', 'With a known weight: a scale that is off moves the whole curve.'),
  'is-this-the-tip': t(
    'Is this the tip?',
    'So far off is another tip, or a typed figure that is wrong, sooner than wear: look at the tip and at its stamp.',
    false,
  ),
  'another-tip': t(
    'Another tip on the same rig',
    'A fault of the rig moves both tips, a fault of the tip only one.',
  ),
  'sag-test': t(
    'Does the pump fade?',
    'First and last catch at one setting, minutes of spraying between them, the dial not touched.',
  ),
  'more-catches': t('More catches', 'More settings, or more catches at each.'),
};

const checks = new Set<SettlingTest>([
  'dial-at-zero',
  'flow-stops-at',
  'blank-tip',
  'wand-gauge',
  'sag-test',
  'check-the-scale',
  'check-the-meter',
]);

/** It takes two minutes, and no other sweep: offered wherever it stands in the list. */
export function isCheck(kind: SettlingTest): boolean {
  return checks.has(kind);
}

/** "No finding: …": why there is none. */
export function noFindingSentence({ because }: NoDiagnosis): string {
  if (because === 'no-reference')
    return 'No finding yet: there is nothing to hold this curve against. Worn and new look alike without a reference.';
  const { what, todo } = sentenceOf(because);
  return `No finding: ${[what, todo].filter((part) => part !== '').join(' ')}`;
}
