/** What a finding rests on, and what limits it: the sentences under the curve. */
import type { Because, Diagnosis, FinerCause } from '../contract.ts';
import { wholeSentence } from './because.ts';
import { lossNote } from './flow-lost.ts';

const rules: Readonly<Record<FinerCause, string>> = {
  'no fault shown':
    'A sound tip gives twice the flow at four times the pressure. So does this one, and no more and no less than it should, as far as the ± lets it be seen.',
  worn: 'The whole curve lies higher, by the same share at every setting: a larger hole does that. So do a larger tip fitted by mistake, a scale that reads high, and a dial that is wrong in proportion.',
  restricted:
    'The whole curve lies lower, by the same share at every setting: a smaller hole does that. So do pressure lost on the way to the tip, a smaller tip, spray that misses the pail, and a dial that is wrong in proportion.',
  leaking:
    'The higher the pressure, the more comes out beyond what the tip gives: water finds a way past the tip, and pressure opens it.',
  'pump-limited':
    'Up to a setting the curve rises as it should, from there up it stays flat: the pump follows the dial no further.',
  'dial-low':
    'At every setting the tip gives what it should give at a pressure that is higher by the same amount: the dial shows too little.',
  'dial-high':
    'At every setting the tip gives what it should give at a pressure that is lower by the same amount, and the dial did not show zero at no pressure.',
  'check-valve':
    'At every setting the tip gives what it should give at a pressure that is lower by the same amount, and the flow stops while there is still pressure: a check valve holds that much back.',
  'dial-high-or-check-valve':
    'At every setting the tip gives what it should give at a pressure that is lower by the same amount. A dial that shows too much does that, and a check valve in the wand does just the same.',
};

/** What the finding rests on; one rule for each of two that both fit. */
export function ruleSentences(diagnosis: Diagnosis): readonly string[] {
  const { said, orElse } = diagnosis;
  if (said === null)
    return [
      'The cause that comes nearest still misses the catches by more than their ± allows. Two faults at once do that, or something that changed while it was measured.',
    ];
  return orElse === null || orElse === said ? [rules[said]] : [rules[said], rules[orElse]];
}

/**
 * What limits it: of the reference, of an instrument.
 * @param saidAlready warnings that stand elsewhere on the page.
 */
export function findingNotes(diagnosis: Diagnosis, saidAlready: readonly Because[] = []): readonly string[] {
  const lost = diagnosis.flowLostBeforeTip;
  return [
    ...diagnosis.warnings
      .filter((warning) => !saidAlready.includes(warning))
      .map((warning) =>
        warning === 'stands-apart'
          ? 'One catch stands apart from the others. The curve keeps it; the finding was made without it. Look at it, and strike it out if you know why.'
          : wholeSentence(warning),
      ),
    ...(lost === null
      ? diagnosis.pressureMayBeLost
        ? ['How much pressure is lost between gauge and tip is not known: nobody told what lies between.']
        : []
      : [lossNote(lost)]),
  ];
}
