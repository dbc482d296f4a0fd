/** A person who hears what the page asks for: the instruction line, read back into the prompt it was made from. */
import type { Page } from '@playwright/test';
import type { PersonPrompt } from '../../src/simulation/simulated-person.ts';
import { PSI_PA } from '../../src/base/units/constants.ts';
import { promptLine } from '../../web/wording/prompts.ts';
import { shownUnits } from '../../web/wording/units.ts';

/** Every instruction the page can show for these settings (psi), and what it asks for. */
function instructions(settings_psi: readonly number[]): Map<string, PersonPrompt> {
  const known = new Map<string, PersonPrompt>();
  for (const psi of settings_psi) {
    for (const turnAwayFirst of [true, false]) {
      for (const sameAgain of [true, false]) {
        const prompt = { kind: 'set-and-spray', setting_Pa: psi * PSI_PA, turnAwayFirst, sameAgain } as const;
        known.set(promptLine(prompt, shownUnits.us, null), prompt);
      }
    }
  }
  for (const because of [
    'enough',
    'longest-catch',
    'scale-near-limit',
    'forecast-too-long',
    'paused',
  ] as const) {
    known.set(promptLine({ kind: 'shut-off', because }, shownUnits.us, null), { kind: 'shut-off' });
  }
  for (const because of ['will-not-fit', 'scale-near-limit'] as const) {
    known.set(promptLine({ kind: 'empty-pail', because }, shownUnits.us, null), { kind: 'empty-pail' });
  }
  for (const kind of ['hold-still', 'wait-for-instrument', 'paused', 'done'] as const) {
    known.set(promptLine({ kind }, shownUnits.us, null), { kind });
  }
  return known;
}

/**
 * Calls `heard` with each new instruction as it appears on the page. Call before the sweep begins.
 * @param settings_psi the settings that will be asked for
 */
export async function listen(
  page: Page,
  settings_psi: readonly number[],
  heard: (prompt: PersonPrompt, line: string) => void,
): Promise<void> {
  const known = instructions(settings_psi);
  const keepSpraying = promptLine({ kind: 'keep-spraying', setting_Pa: 0 }, shownUnits.us, null);
  let setting_Pa = 0;
  await page.exposeFunction('heardByThePerson', (shown: string) => {
    const line = shown.replace(/\s+/g, ' '); // a figure and its unit are kept together by a space that does not break
    const prompt: PersonPrompt | undefined = line.startsWith(keepSpraying)
      ? { kind: 'keep-spraying', setting_Pa }
      : known.get(line);
    if (prompt === undefined) return; // a heading that is no instruction, for example the result's
    if (prompt.kind === 'set-and-spray') setting_Pa = prompt.setting_Pa;
    heard(prompt, line);
  });
  await page.evaluate(() => {
    let last = '';
    const look = () => {
      const line = document.querySelector('main h1')?.textContent.trim() ?? '';
      if (line === last) return;
      last = line;
      (window as unknown as { heardByThePerson: (line: string) => void }).heardByThePerson(line);
    };
    new MutationObserver(look).observe(document.body, {
      subtree: true,
      childList: true,
      characterData: true,
    });
    look();
  });
}
