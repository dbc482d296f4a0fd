/** Checks of the instrument: what is asked, what came out, what was decided. */
import type { BigFigure } from './running.ts';
import type {
  CheckAmount,
  CheckPrompt,
  CheckResult,
  ChecksInForce,
  CheckView,
  ScaleDecision,
} from '../contract.ts';
import { sentenceOf } from './because.ts';
import { fixed, plain, significant, withUncertainty } from './number.ts';
import type { ShownUnits } from './units.ts';

export const checkWords = {
  title: 'Check the instrument',
  lead: 'Hold it against something you know. What is found goes into every ± from then on.',
  first: 'Check the scale first',
  now: 'Check the scale',
  again: 'Check the scale again',
  another: 'Another check',
  open: 'Checks',
  scale: 'Scale',
  scaleHint:
    'Type what you will put on; after that no touch is needed: it sees by itself when it stands there.',
  reference: 'What you know',
  pieces: 'a weight',
  water: 'a volume of water',
  amounts: 'Weights, from light to heavy',
  amountsHint:
    'One to three, each the whole of what is to stand on it. The heaviest near what a catch weighs; two or three show whether the scale is straight.',
  volumes: 'Volumes, from small to large',
  volumesHint: 'One to three, each the whole of what is in the jug. Stand the empty jug on the scale first.',
  plusMinus: 'Known to ±',
  plusMinusHint: 'How far the truth may lie from what is marked on it: nearly always within this.',
  temperature: 'Water temperature',
  temperatureHint: 'Taken in the jug. Hot water is no measure.',
  limit: 'The scale bears up to',
  trickle: 'And a slow trickle of',
  trickleHint:
    'Only to learn whether the scale swallows a drip: weigh out some water, pour it in over a minute.',
  goScale: 'Check the scale',
  clock: 'Clock of the board',
  clockHint: 'A minute of leaving it alone. A cheap board runs up to half a percent fast or slow.',
  goClock: 'Check the clock',
  pressure: 'Pressure sensor',
  pressureHint:
    'Open to the air first, then one pressure on a gauge you trust. Clean water only; never above the rating of the weakest part.',
  known: 'Pressure on the trusted gauge',
  knownPlusMinus: 'The gauge is good to ±',
  goPressure: 'Check the sensor',
  meter: 'Flow meter',
  meterHint:
    'Held against the scale, with the catches of the sweep you have just made: two settings or more.',
  meterLater: 'Run a sweep over two settings or more first; from its result the meter can be checked.',
  goMeter: 'Check the meter',
  oneFlow: 'One factor will do',
  stop: 'Stop the check',
  stopped: 'Stopped. Nothing was changed: what you typed stands here still. Take off again what you put on.',
  slower: (now: number, then: number): string =>
    `The simulated check runs at ${String(now)}x, so that there is time to read what is asked; the sweep runs at ${String(then)}x.`,
  level: 'Level it and check again',
  levelLater: 'Level it before the next sweep.',
  tooMany: 'At most three.',
  ascending: 'From light to heavy, each once.',
  shows: 'on the scale',
  seconds: 'seconds',
  decide: 'What is to be done? Your word stays in the record.',
  decideNext:
    'What is to be done from the next sweep on? This one keeps what was decided before it, and has the difference in its ±. Your word stays in the record.',
  inForce: 'Found so far',
  notKept: 'It could not be kept in the Log.',
  caption: 'What was put on and what it showed',
  put: 'Put on',
  shown: 'Shown',
  differs: 'Off by',
} as const;

export const decisionWords: Readonly<
  Record<ScaleDecision, { readonly label: string; readonly done: string }>
> = {
  correct: { label: 'Correct it', done: 'Corrected: every flow is multiplied by what was found.' },
  leave: { label: 'Leave it, carry the doubt', done: 'Left as it is: what was found is in every ±.' },
  refuse: {
    label: 'Don’t measure with it',
    done: 'This scale is not measured with until it is checked anew.',
  },
};

/** The same where the sweep at hand stands on an earlier check, and only those that come are decided on. */
export const decidedForNext: Readonly<Record<ScaleDecision, string>> = {
  correct: 'From the next sweep on every flow is multiplied by what was found. This sweep stands as it is.',
  leave: 'Left as it is: from the next sweep on what was found is in every ±.',
  refuse: decisionWords.refuse.done,
};

/** Whether the person decides on the sweeps that come only: the one at hand was checked before. */
export function isForNext({ sweepId, result }: CheckView): boolean {
  return sweepId !== null && result?.kind === 'scale' && result.drift !== null;
}

function amountText(amount: CheckAmount, units: ShownUnits): string {
  return amount.kind === 'mass'
    ? `${plain(units.load.fromSI(amount.mass_kg))} ${units.load.label}`
    : `${plain(units.pail.fromSI(amount.volume_m3))} ${units.pail.label} of water`;
}

/** The one line of instruction; the voice says the same words. */
export function checkLine(prompt: CheckPrompt, units: ShownUnits): string {
  switch (prompt.kind) {
    case 'clear-scale':
      return prompt.vessel
        ? 'Stand the empty jug on the scale. Hands off.'
        : 'Take everything off the scale, or leave the empty pail on it. Hands off.';
    case 'put-on': {
      const what = amountText(prompt.amount, units);
      if (prompt.amount.kind === 'volume') return `Now ${what} in the jug.`;
      return prompt.nth === 1 ? `Now put ${what} on.` : `Now ${what} on it in all.`;
    }
    case 'wait':
      return 'Hands off: ten quiet seconds.';
    case 'take-off':
      return 'Take the weight off again.';
    case 'trickle': {
      const what = `${plain(units.mass.fromSI(prompt.mass_kg))} ${units.mass.label}`;
      return `Now pour ${what} of water into the pail, slowly: over a minute.`;
    }
    case 'leave-alone':
      return 'Leave the bench alone for a minute.';
    case 'open-to-air':
      return 'Pump off, trigger open: let all the pressure go.';
    case 'bring-to-pressure':
      return `Bring it to ${plain(units.pressure.fromSI(prompt.known_Pa))} ${units.pressure.label} on the trusted gauge, and hold it.`;
    case 'check-done':
      return ['The check is done.', stillToDo(prompt)].join(' ').trim();
    case 'check-failed':
      return sentenceOf(prompt.because).what;
  }
}

/** What stands on the scale when the check is over, and has to go before anything is caught; empty where nothing does. */
export function stillToDo(prompt: CheckPrompt): string {
  if (prompt.kind !== 'check-done' || prompt.leaves === undefined) return '';
  return prompt.leaves === 'jug'
    ? 'Take the jug off, and put the empty pail back.'
    : 'Empty the pail, and put it back.';
}

/** What comes after, in quiet words. */
export function checkNext(prompt: CheckPrompt): string {
  switch (prompt.kind) {
    case 'clear-scale':
      return 'It goes on by itself when the scale is at rest.';
    case 'put-on':
      return 'It sees by itself when it stands there.';
    case 'bring-to-pressure':
      return 'It sees by itself when it is steady.';
    case 'trickle':
      return 'It looks again when the minute is over.';
    case 'wait':
    case 'take-off':
    case 'leave-alone':
    case 'open-to-air':
    case 'check-done':
    case 'check-failed':
      return '';
  }
}

const PERCENT = 100;

/** "0.38 % low, give or take 0.03" as a figure: how far the instrument is off, in percent. */
export function checkFigure(result: CheckResult, units: ShownUnits): BigFigure {
  switch (result.kind) {
    case 'scale':
      return percentFigure(1 / result.factor - 1, result.relativeExpandedUncertainty95);
    case 'clock':
      return percentFigure(1 / result.ratio - 1, 2 * result.standardUncertainty);
    case 'meter': {
      const perLitre = result.pulsesPerCubicMetre / 1e3;
      return figure(perLitre, (2 * result.pulsesPerCubicMetreStandardUncertainty) / 1e3, 'pulses a litre');
    }
    case 'pressure':
      return figure(
        units.pressure.fromSI(result.zero_Pa),
        units.pressure.fromSI(2 * result.standardUncertainty_Pa),
        `${units.pressure.label} at zero`,
      );
  }
}

function percentFigure(share: number, half: number): BigFigure {
  return figure(PERCENT * share, PERCENT * half, share < 0 ? '% low' : '% high', Math.abs);
}

function figure(
  value: number,
  half: number,
  unit: string,
  sign: (x: number) => number = (x) => x,
): BigFigure {
  const cut = withUncertainty(sign(value), half);
  return {
    value: cut?.value ?? significant(sign(value), 2),
    plusMinus: cut?.plusMinus ?? null,
    unit,
    tone: 'measured',
  };
}

/** The figure while a check runs: seconds left of a wait, else what the instrument shows. */
export function progressFigure(check: CheckView, units: ShownUnits): BigFigure {
  const none: BigFigure = { value: '–', plusMinus: null, unit: '', tone: 'none' };
  if (check.secondsLeft !== null)
    return { value: String(check.secondsLeft), plusMinus: null, unit: checkWords.seconds, tone: 'asked' };
  if (check.shown === null) return none;
  if (check.kind === 'pressure') {
    const shown = fixed(units.pressure.fromSI(check.shown), units.system === 'us' ? 0 : 2);
    return { value: shown, plusMinus: null, unit: units.pressure.label, tone: 'measured' };
  }
  const shown = fixed(units.load.fromSI(check.shown), 3);
  return { value: shown, plusMinus: null, unit: `${units.load.label} ${checkWords.shows}`, tone: 'measured' };
}

/** One sentence for what came out. */
export function checkSentence(result: CheckResult, units: ShownUnits): string {
  switch (result.kind) {
    case 'scale':
      return `${scaleSentence(result)}${driftSentence(result)}`;
    case 'clock':
      return 'The clock of the board against this computer’s. It is corrected in every catch.';
    case 'meter':
      return meterSentence(result, units);
    case 'pressure':
      return `The sensor shows that much when there is no pressure, and has to be multiplied by ${result.gain.toFixed(3)}. Both are corrected.`;
  }
}

function scaleSentence(result: Extract<CheckResult, { kind: 'scale' }>): string {
  switch (result.verdict) {
    case 'agrees':
      return 'The scale agrees with what was put on, within what it can show.';
    case 'off':
      return `The scale reads ${result.factor > 1 ? 'low' : 'high'}, by more than one of its steps.`;
    case 'cannot-tell':
      return 'The scale and the weight differ, but the weight is not known well enough to blame the scale.';
  }
}

function driftSentence({ drift }: Extract<CheckResult, { kind: 'scale' }>): string {
  if (drift === null) return '';
  const cut = withUncertainty(PERCENT * Math.abs(drift.relative), PERCENT * 2 * drift.standardUncertainty);
  const by = cut === null ? '' : ` by ${cut.value} %, give or take ${cut.plusMinus}`;
  return drift.moved
    ? ` Since the check before it has moved${by}; the whole of it is in every ±.`
    : ' Since the check before it has not moved beyond its own ±.';
}

function meterSentence(result: Extract<CheckResult, { kind: 'meter' }>, units: ShownUnits): string {
  const at = (flow: number): string => significant(units.flow.fromSI(flow), 3);
  const range = `${at(result.lowestFlow_m3_per_s)} to ${at(result.highestFlow_m3_per_s)} ${units.flow.label}`;
  if (result.offset_Hz === null)
    return `One factor, good near ${at(result.lowestFlow_m3_per_s)} ${units.flow.label} only: its offset is not known.`;
  return `It loses ${significant(result.offset_Hz, 2)} pulses a second to its bearing. Checked from ${range}; below that it gives no flow.`;
}

/** What is in force, one line each; empty when nothing was checked. */
export function inForceLines(checks: ChecksInForce | undefined): readonly string[] {
  if (checks === undefined) return [];
  const { scale, meter, clock, pressure } = checks;
  const off = (share: number): string =>
    `${significant(PERCENT * Math.abs(share), 2)} % ${share < 0 ? 'low' : 'high'}`;
  const done = { correct: 'corrected', leave: 'left as it is', refuse: 'not to be measured with' };
  return [
    ...(scale === null
      ? []
      : [
          scale.verdict === 'agrees'
            ? 'Scale checked: it agrees.'
            : `Scale checked: reads ${off(1 / scale.factor - 1)}, ${done[scale.decision]}.`,
        ]),
    ...(meter === null ? [] : ['Flow meter checked.']),
    ...(clock === null
      ? []
      : [
          `Clock checked: runs ${off(1 / clock.ratio - 1)
            .replace('low', 'slow')
            .replace('high', 'fast')}, corrected.`,
        ]),
    ...(pressure === null ? [] : ['Pressure sensor checked.']),
  ];
}
