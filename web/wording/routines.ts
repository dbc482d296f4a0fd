/** What is asked and told while several tips, or the positions of a boom, take turns. What their comparison says: routine-result.ts. */
import type { AskedNozzle, Prompt, SweepSetup, SweepView } from '../contract.ts';

type Asked = Extract<Prompt, { kind: 'set-and-spray' }>;
type Moved = Extract<Prompt, { kind: 'move-pail' }>;

/** "tip B", "position 3": short enough to be spoken over a pump. Which name is A stands in the line above. */
export function nozzleName(nozzle: AskedNozzle): string {
  return nozzle.of === 'tips' ? `tip ${letter(nozzle.index)}` : `position ${nozzle.label}`;
}

function letter(index: number): string {
  return String.fromCharCode(65 + index);
}

/** The caution comes before the tip is touched, each time. */
const pressureOff = 'Pump off, trigger open, pressure at zero.';

export function nozzleLine(prompt: Pick<Asked, 'sameAgain'>, nozzle: AskedNozzle, pressure: string): string {
  const name = nozzleName(nozzle);
  if (nozzle.of === 'boom')
    return prompt.sameAgain
      ? `Dial stays at ${pressure}. All nozzles on, pail under ${name}.`
      : `Set ${pressure}. All nozzles on, pail under ${name}.`;
  switch (nozzle.change) {
    case 'first':
      return `${pressureOff} Put ${name} on. Set ${pressure}. Spray into the pail.`;
    case 'change':
      return `${pressureOff} Now change to ${name}. Leave the dial. Spray.`;
    case 'same':
      return `Leave ${name} on, leave the dial. Spray again.`;
  }
}

export function moveLine({ nozzle, isFirst, restless }: Moved): string {
  const name = nozzleName(nozzle);
  if (restless) return `The scale under ${name} does not come to rest. Hands off, out of the wind.`;
  return isFirst
    ? `Stand the scale and the empty pail under ${name}. Level it.`
    : `Water off. Empty the pail, stand it and the scale under ${name}. Level it.`;
}

export function moreLine({ catchesPerTip }: { readonly catchesPerTip: number }): string {
  return `All planned catches are there. They scatter: ${catchesPerTip} more of each would tell more.`;
}

export const tipNotChanged = 'Shut off. That came too soon: the tip can’t have been changed.';

/** The quiet second line. */
export function afterNozzleLine(prompt: Asked | Moved | { readonly kind: 'more-catches' }): string {
  if (prompt.kind === 'more-catches') return 'Go on, or end the sweep here: what is there is the result.';
  if (prompt.kind === 'move-pail')
    return prompt.restless
      ? 'Is it level, and does nothing touch it? It goes on by itself.'
      : 'No water yet. It goes on by itself when pail and scale rest.';
  if (prompt.nozzle?.of !== 'tips' || prompt.nozzle.change === 'same')
    return 'Spray until you hear “enough”.';
  return prompt.nozzle.change === 'change'
    ? 'Let the pressure out beside the pail. The dial can’t be watched: don’t touch it.'
    : 'Let the pressure out beside the pail. Then spray until you hear “enough”.';
}

/** What follows a catch, as the end of "Then shut off, …". */
export function thenNozzle(nozzle: AskedNozzle): string {
  const name = nozzleName(nozzle);
  if (nozzle.of === 'boom') return `and once more at ${name}`;
  return nozzle.change === 'change' ? `pressure off, and change to ${name}` : `and once more with ${name}`;
}

export function thenMove({ nozzle }: Moved): string {
  return `and move the pail to ${nozzleName(nozzle)}`;
}

/** "Catch 3 of 8 at 40 psi · A: grey 7, B: grey 8 · green knapsack" */
export function routineContext(sweep: Pick<SweepView, 'routine' | 'setup'>, pressure: string): string {
  const { routine, setup } = sweep;
  if (routine === undefined) return '';
  const wanted = routine.plan.reduce((sum, one) => sum + one.wanted, 0);
  const done = routine.plan.reduce((sum, one) => sum + Math.min(one.done, one.wanted), 0);
  const which = `Catch ${Math.min(done + 1, wanted)} of ${wanted} at ${pressure}`;
  return `${which} · ${nozzlesNamed(setup)} · ${setup.rig.name}`;
}

/** "A: grey 7, B: grey 8" or "boom of 6" */
export function nozzlesNamed({ tip, routine }: Pick<SweepSetup, 'tip' | 'routine'>): string {
  if (routine?.kind === 'tip-against-tip') return `A: ${tip.name}, B: ${routine.otherTip.name}`;
  if (routine?.kind === 'bag')
    return [tip, ...routine.otherTips].map(({ name }, i) => `${letter(i)}: ${name}`).join(', ');
  return routine === null ? tip.name : `${tip.name}, ${routine.positions} positions`;
}

/** The large figure while a nozzle is asked for. */
export function nozzleFigure(nozzle: AskedNozzle): { readonly value: string; readonly unit: string } {
  return nozzle.of === 'tips'
    ? { value: letter(nozzle.index), unit: nozzle.change === 'same' ? 'stays on' : 'tip to put on' }
    : { value: nozzle.label, unit: `of ${nozzle.count} positions` };
}
