import { describe, expect, it } from 'vitest';
import { PailWatch } from '../../src/session/pail-watch.ts';
import { willFit } from '../../src/planning/room-in-pail.ts';
import { aSetup } from '../builders/setup.ts';

const rig = { ...aSetup().rig, scaleLimit_kg: 10, pailVolume_m3: 0.008 };

describe('what stands on the scale', () => {
  it('has room for nine tenths of the pail when the pail is the smaller limit', () => {
    const pail = new PailWatch(rig);
    pail.quiet(0.8);
    expect(pail.room_kg).toBeCloseTo(7.2, 9);
  });

  it('is limited by the whole load, so that a tare makes no room on the scale', () => {
    const pail = new PailWatch({ ...rig, pailVolume_m3: 0.1 });
    pail.quiet(0.8);
    pail.rising(6.8);
    pail.tared();
    pail.quiet(0);
    expect(pail.load_kg).toBeCloseTo(6.8, 9);
    expect(pail.room_kg).toBeCloseTo(9 - 6.8, 9);
  });

  it('takes a jump to zero for a lift when the pail comes back without water', () => {
    const pail = new PailWatch(rig);
    pail.quiet(0.8);
    pail.tared();
    pail.quiet(0);
    pail.quiet(0.82);
    expect(pail.load_kg).toBeCloseTo(0.82, 9);
    expect(pail.isEmpty).toBe(true);
  });

  it('keeps a tare in mind while water runs into the pail', () => {
    const pail = new PailWatch(rig);
    pail.quiet(0.8);
    pail.tared();
    pail.quiet(0);
    pail.rising(0.9);
    pail.quiet(0.9);
    expect(pail.load_kg).toBeCloseTo(1.7, 9);
  });

  it('takes all water ever caught for standing in the pail when a kept sweep goes on', () => {
    const pail = new PailWatch(rig);
    pail.assumeWater(3);
    pail.quiet(3.8);
    expect(pail.isEmpty).toBe(false);
    expect(pail.room_kg).toBeCloseTo(7.2 - 3, 9);
  });

  it('says stop at nine tenths of the scale or of the pail', () => {
    const pail = new PailWatch(rig);
    pail.quiet(0.8);
    expect(pail.rising(7.9)).toBe(false);
    expect(pail.rising(8.1)).toBe(true);
  });

  it('has its room back when the pail comes back empty', () => {
    const pail = new PailWatch(rig);
    pail.quiet(0.8);
    pail.quiet(7);
    const before = pail.room_kg;
    pail.replaced(0.82);
    expect(pail.room_kg).toBeGreaterThan(before + 5);
  });

  it('counts the push of the jet when it asks whether a catch fits', () => {
    // 0.25 kg/s for 15 s are 3.75 kg, and the jet presses 0.6 kg more (4 gal/min; arithmetic).
    expect(willFit(4.2, 0.25, 15)).toBe(false);
    expect(willFit(4.4, 0.25, 15)).toBe(true);
  });
});
