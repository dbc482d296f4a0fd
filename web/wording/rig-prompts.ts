/** What is asked for on rigs that are not simply a held pressure into a pail. */
import type { Prompt } from '../contract.ts';

type Asked = Extract<Prompt, { kind: 'set-and-spray' }>;

/** One stroke of the pump to each click; where the sprayer stands on the scale, the spray goes anywhere but onto it. */
export function rigSetAndSpray(
  prompt: Pick<Asked, 'turnAwayFirst' | 'sameAgain'>,
  rig: NonNullable<Asked['rig']>,
  pressure: string,
): string {
  const where = rig.standsOnScale === 'sprayer' ? 'Spray, clear of the scale' : 'Spray into the pail';
  switch (rig.kind) {
    case 'pumped-up':
      return `Pump up to ${pressure}. ${where}.`;
    case 'pumped-while-spraying':
      return `Pump to the beat, at ${pressure}. ${where}.`;
    case 'held':
    case 'hose-reel':
      if (prompt.turnAwayFirst)
        return `Turn the dial ${prompt.sameAgain ? 'away and back ' : ''}to ${pressure}. ${where}.`;
      return prompt.sameAgain
        ? `Leave the dial at ${pressure}. ${where} again.`
        : `Set ${pressure}. ${where}.`;
  }
}

export const swellingLine = 'The hose still swells. Keep spraying.';

export function rigTooSmall(pressure: string): string {
  return `This tank can’t give a catch at ${pressure}, not even full.`;
}
