import { expect, test } from 'vitest';
import { conditionsToBlame } from '../../../../web/wording/conditions.ts';
import { faultTruth } from '../../../../web/wording/faults.ts';
import { rigCheckLine } from '../../../../web/wording/rig-check-line.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { psi } from '../sample-sweep.ts';

const { us, metric } = shownUnits;

test('what was switched on is told in trade words, with its size', () => {
  expect(faultTruth([], us)).toBe('Nothing is wrong with this tip and rig.');
  expect(faultTruth([{ kind: 'worn', share: 0.0942 }], us)).toMatch(/worn: 9\.4 % more/);
  expect(faultTruth([{ kind: 'dial-high', offset_Pa: -psi(4.02) }], us)).toMatch(/shows 4 psi less/);
  expect(faultTruth([{ kind: 'check-valve', opensAt_Pa: 55158 }], metric)).toMatch(/0\.55 bar/);
  const two = faultTruth(
    [
      { kind: 'leaking', share: 0.05 },
      { kind: 'hose-loss', length_m: 91.44, bore_m: 0.0127 },
    ],
    us,
  );
  expect(two).toMatch(/leaks beside the tip: 5 % .*; 300 ft of hose, 0\.5 in inside/);
});

test('a fault of the rig, not chance, is blamed for a result outside its ±; a fault of the tip is in the truth', () => {
  const catches: [] = [];
  expect(
    conditionsToBlame({ conditions: 'typical', faults: [{ kind: 'leaking', share: 0.1 }], catches }),
  ).toMatch(/fault/);
  expect(
    conditionsToBlame({ conditions: 'typical', faults: [{ kind: 'worn', share: 0.1 }], catches }),
  ).toBeNull();
});

test('every change of a tip in a check of the rig is asked with the pressure off, and a blank with nobody in line', () => {
  const off = /Pump off, trigger open, pressure at zero/;
  expect(rigCheckLine({ kind: 'fit-blank' }, us)).toMatch(off);
  expect(rigCheckLine({ kind: 'rig-check-done', leaves: 'blank' }, us)).toMatch(off);
  expect(
    rigCheckLine({ kind: 'rig-check-failed', because: 'not-enough-readings', leaves: 'blank' }, us),
  ).toMatch(off);
  expect(rigCheckLine({ kind: 'fit-gauge', highest_Pa: psi(60) }, us)).toMatch(off);
  expect(rigCheckLine({ kind: 'rig-check-done', leaves: 'gauge' }, us)).toMatch(off);
  expect(
    rigCheckLine({ kind: 'rig-check-failed', because: 'blank-pressure-too-high', leaves: 'blank' }, us),
  ).toMatch(/^Pump off, now\./);
  expect(rigCheckLine({ kind: 'pressurise-blank', pressure_Pa: psi(40) }, us)).toMatch(
    /^Nobody in line\. Pump on, 40 psi and no more/,
  );
});
