import { describe, expect, it } from 'vitest';
import { Random } from '../../../src/simulation/random.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import { analysed } from './analysed.ts';
import { shapeFaults } from './documented-shape.ts';

/** Lines lost, doubled, cut, overwritten, moved to other times, marks thrown in: what a bad day does to a file. */
function mangled(text: string, random: Random): string {
  const [header, body] = [text.slice(0, text.indexOf('\n0')), text.slice(text.indexOf('\n0') + 1)];
  const lines = body.split('\n').flatMap((line) => {
    const tab = line.indexOf('\t');
    const kind = random.fraction();
    if (kind < 0.01) return [];
    if (kind < 0.015) return [line, line];
    if (kind < 0.02) return [line.slice(0, random.uniform(0, line.length))];
    if (kind < 0.025) return [line.slice(0, tab + 1) + '\\x00\\xFF' + line.slice(tab + 4)];
    if (kind < 0.027)
      return [`${line.slice(0, tab)}\t!gap ${random.chance(0.5) ? 'lines-lost' : 'no such reason'}`, line];
    if (kind < 0.029) return [`${line.slice(0, tab)}\t!${random.chance(0.5) ? 'struck 20' : 'dance'}`, line];
    if (kind < 0.03) return [line.replace(/\d/g, '9')];
    return [line];
  });
  // Once in a while a whole stretch is gone.
  if (random.chance(0.5))
    lines.splice(Math.floor(random.uniform(0, lines.length * 0.8)), Math.floor(random.uniform(5, 300)));
  return `${header}\n${lines.join('\n')}`;
}

describe('a capture that was damaged on the way', () => {
  it.each(['scale', 'bench-board'] as const)(
    'of a %s gives an analysis of the documented shape or nothing, never a number that is none (20 seeded files)',
    (kind) => {
      let good = 0;
      for (let seed = 1; seed <= 20; seed++) {
        const random = new Random(900 + seed);
        const text = simulateCapture({
          scenario: random.chance(0.5) ? 'typical' : 'worst',
          seed: 900 + seed,
          fills: 3,
          instrument: { kind },
          sweep: { settings_Pa: [137895, 275790, 413685] },
        });
        const { analysis } = analysed(mangled(text, random));
        expect(shapeFaults(analysis)).toEqual([]);
        const text_ = JSON.stringify(analysis);
        expect(JSON.parse(text_)).toEqual(analysis);
        for (const c of analysis.catches) {
          expect(c.stop_s).toBeGreaterThan(c.start_s);
          if (c.flow_m3_per_s !== null) good++;
          if (c.flow_m3_per_s !== null) expect(c.flow_m3_per_s).toBeGreaterThan(0);
        }
      }
      expect(good).toBeGreaterThan(10);
    },
    60_000,
  );
});
