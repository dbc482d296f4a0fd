import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { USUAL_LIMIT_RATIO } from '../../src/analysis/curve/compare-with-rated.ts';
import { blankFields, demoFields } from '../../web/state/setup-fields.ts';

/** The sentence of the comment block that stands directly before `code`, or '' without one. */
function commentBefore(file: string, code: string): string {
  const lines = readFileSync(new URL(`../../${file}`, import.meta.url), 'utf8').split('\n');
  const at = lines.findIndex((line) => line.includes(code));
  let from = at;
  while (from > 0 && /^\s*(\/\/|\/\*\*|\*)/.test(lines[from - 1]!)) from -= 1;
  return lines.slice(from, at).join(' ');
}

// Three timed repeats at a setting: common practice, no source for a tip on a bench. Published support for the same number in a
// neighbouring matter: the walk or drive of a calibration course is timed at least 3 times and the mean used
// (pesticidestewardship.org; Oklahoma State University turf, both seen).
test('a sweep begins with three catches a setting, in both systems of units and on the simulated bench', () => {
  for (const system of ['us', 'metric'] as const) {
    expect(Number(blankFields(system).catches)).toBe(3);
    expect(Number(demoFields(system).catches)).toBe(3);
  }
});

// Replace a tip that gives a tenth more than its stamp: common practice, no source.
test('the limit for a worn tip is ten percent over its stamp', () => {
  expect(USUAL_LIMIT_RATIO).toBe(1.1);
});

test.each([
  ['web/state/setup-fields.ts', "catches: '3'"],
  ['src/analysis/curve/compare-with-rated.ts', 'export const USUAL_LIMIT_RATIO'],
])('the number in %s that is only a habit says so beside it: %s', (file, code) => {
  expect(commentBefore(file, code)).toMatch(/common practice, no source/i);
});
