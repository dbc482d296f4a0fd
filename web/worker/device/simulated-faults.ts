import { FOOT_M, PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import type { RigFault } from '../../../src/simulation/rig-fault.ts';
import type { SimulatedFault } from '../../contract.ts';

/** One in so many drawn benches is sound: who looks for a fault has to be able to find none. */
const SOUND_SHARE = 1 / 6;

type Named = Exclude<SimulatedFault, 'none' | 'drawn'>;

/** How large each fault is when it is switched on: a range, invented, in which the usual tests should see it. */
const made: Readonly<Record<Named, (draw: Random) => RigFault>> = {
  worn: (draw) => ({ kind: 'worn', share: draw.uniform(0.06, 0.15) }),
  restricted: (draw) => ({ kind: 'restricted', share: draw.uniform(0.08, 0.18) }),
  leaking: (draw) => ({ kind: 'leaking', share: draw.uniform(0.04, 0.1) }),
  'pump-limited': (draw) => ({ kind: 'pump-limited', pressure_Pa: draw.uniform(42, 52) * PSI_PA }),
  'dial-high': (draw) => ({ kind: 'dial-high', offset_Pa: draw.uniform(3, 6) * PSI_PA }),
  'dial-low': (draw) => ({ kind: 'dial-high', offset_Pa: -draw.uniform(3, 6) * PSI_PA }),
  'dial-gain': (draw) => ({
    kind: 'dial-gain',
    share: draw.uniform(0.06, 0.12) * (draw.chance(0.5) ? 1 : -1),
  }),
  'check-valve': (draw) => ({ kind: 'check-valve', opensAt_Pa: draw.uniform(5, 15) * PSI_PA }),
  'battery-sag': (draw) => ({ kind: 'battery-sag', share: draw.uniform(0.06, 0.12), per: 'sweep' }),
  'hose-loss': (draw) => ({
    kind: 'hose-loss',
    length_m: draw.uniform(150, 300) * FOOT_M,
    bore_m: (draw.chance(0.5) ? 3 / 8 : 5 / 16) * (FOOT_M / 12),
  }),
};

/** The faults of a bench that is asked for, out of its seed; null: none was asked for, and nothing is told of any. */
export function faultsOf(fault: SimulatedFault | undefined, seed: number): readonly RigFault[] | null {
  if (fault === undefined || fault === 'none') return null;
  const draw = new Random(seed).stream('fault');
  if (fault !== 'drawn') return [made[fault](draw)];
  if (draw.chance(SOUND_SHARE)) return [];
  const named = Object.keys(made) as Named[];
  return [made[named[Math.floor(draw.fraction() * named.length)] ?? 'worn'](draw)];
}

/** The faults of a kept simulated sweep; null where none were kept, or where what is kept is not ours. */
export function faultsKept(truth: string | undefined): readonly RigFault[] | null {
  if (truth === undefined) return null;
  try {
    const kept: unknown = JSON.parse(truth);
    if (typeof kept !== 'object' || kept === null || !('faults' in kept) || !Array.isArray(kept.faults))
      return null;
    return (kept.faults as unknown[]).every(isFault) ? (kept.faults as RigFault[]) : null;
  } catch {
    return null;
  }
}

const kinds: ReadonlySet<string> = new Set<RigFault['kind']>([
  ...(['none', 'worn', 'restricted', 'leaking', 'pump-limited', 'dial-high'] as const),
  ...(['dial-gain', 'check-valve', 'battery-sag', 'hose-loss', 'pressure-loss'] as const),
]);

function isFault(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  return Object.entries(value).every(([key, one]) =>
    key === 'kind'
      ? typeof one === 'string' && kinds.has(one)
      : key === 'per'
        ? one === 'minute' || one === 'sweep'
        : typeof one === 'number' && Number.isFinite(one),
  );
}
