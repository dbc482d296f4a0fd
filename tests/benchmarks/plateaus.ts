import { guidedPour, type GuidedPour } from './plateaus-parts/guided-pours.ts';
import { scorePour, type PourCell } from './plateaus-parts/fixed-pours.ts';

const LENGTHS_S = [5, 7, 10, 14, 15, 20, 30];
const WANDERS = [0, 0.02, 0.05];
const SEED_BASE = 700_000;

/**
 * `npm run benchmark -- plateaus [--pours=300] [--guided=100] [--instrument=10] [--seedBase=700000] [--parts=fixed,steps,guided]`
 * Pours through several settings: the segmentation and each setting's flow for plateaus of fixed length, beside the truth; how near two
 * settings may lie; and the whole live sweep with somebody who turns the dial as told. Relative errors in percent.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const pours = Number(options['pours'] ?? 300);
  const seedBase = Number(options['seedBase'] ?? SEED_BASE);
  const parts = (options['parts'] ?? 'fixed,steps,guided').split(',');
  const instruments = (['10 Hz 1 g', '80 Hz 0.1 g'] as const).filter((name) =>
    name.startsWith(options['instrument'] ?? ''),
  );
  const five = [20, 30, 40, 50, 60];
  const fixed = () =>
    instruments.flatMap((instrument) =>
      WANDERS.flatMap((wander) =>
        LENGTHS_S.map((each_s) =>
          cellFigures({ instrument, wander, each_s, settings_psi: five }, pours, seedBase),
        ),
      ),
    );
  const steps = () =>
    instruments.flatMap((instrument) =>
      [1, 1.5, 2, 3, 4, 5, 7].map((step_psi) => {
        const settings_psi = [-2, -1, 0, 1, 2].map((i) => 40 + i * step_psi);
        const cell: PourCell = { instrument, wander: 0.05, each_s: 15, settings_psi };
        const smallest = Math.sqrt(settings_psi[4]! / settings_psi[3]!) - 1;
        return {
          step_psi,
          smallestFlowStepPercent: 100 * smallest,
          ...cellFigures(cell, pours, seedBase + 50_000),
        };
      }),
    );
  return {
    pours,
    seeds: `from ${seedBase}`,
    turn: '1-3 s, asked for 0.5-2 s before; jet 10 g at 40 psi, in proportion to pressure; exact dial, no sag, no jet drift',
    ...(parts.includes('fixed') && { fixed: fixed() }),
    ...(parts.includes('steps') && { steps: steps() }),
    ...(parts.includes('guided') && { guided: guidedFigures(Number(options['guided'] ?? 100), seedBase) }),
  };
}

function cellFigures(cell: PourCell, pours: number, seedBase: number) {
  const scored = Array.from({ length: pours }, (_, i) => scorePour(cell, seedBase + i));
  const plateaus = scored.flatMap((pour) => pour.scored);
  return {
    instrument: cell.instrument,
    wanderPercent: 100 * cell.wander,
    each_s: cell.each_s,
    foundByOrderPercent: share(scored.map((pour) => pour.foundByOrder)),
    foundAnnouncedPercent: share(scored.map((pour) => pour.foundAnnounced)),
    plateausWithFlow: plateaus.length,
    refusedTooShort: scored.reduce((sum, pour) => sum + pour.refused, 0),
    ...figures(plateaus.map(({ error, halfWidth }) => [error, halfWidth])),
    coverageOfReadingsAlonePercent: share(
      plateaus.map(({ error, typeAHalfWidth }) => Math.abs(error) <= typeAHalfWidth),
    ),
  };
}

function guidedFigures(count: number, seedBase: number) {
  return (
    [
      ['scale', 'guided'],
      ['scale', 'hand-held'],
      ['bench-board', 'guided'],
    ] as const
  ).map(([instrument, wand]) => {
    const runs = Array.from({ length: count }, (_, i): GuidedPour =>
      guidedPour(seedBase + 90_000 + i, instrument, wand),
    );
    const water = runs.map(({ water_s }) => water_s);
    return {
      instrument,
      wand,
      sweeps: count,
      done: runs.filter(({ done }) => done).length,
      inOnePour: runs.filter(({ pours }) => pours === 1).length,
      medianWater_s: quantile(water, 0.5),
      water90_s: quantile(water, 0.9),
      underTwoMinutesPercent: share(water.map((s) => s < 120)),
      byMass: figures(runs.flatMap(({ byMass }) => byMass)),
      byMeter: instrument === 'scale' ? null : figures(runs.flatMap(({ byMeter }) => byMeter)),
      kCoveragePercent: share(runs.map(({ kErrorInU }) => Math.abs(kErrorInU) <= 1)),
    };
  });
}

function figures(pairs: readonly (readonly [error: number, halfWidth: number])[]) {
  const errors = pairs.map(([error]) => error);
  return {
    plateaus: pairs.length,
    rmsePercent: 100 * Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / Math.max(1, errors.length)),
    within95Percent: 100 * quantile(errors.map(Math.abs), 0.95),
    coveragePercent: share(pairs.map(([error, half]) => Math.abs(error) <= half)),
    medianHalfWidthPercent:
      100 *
      quantile(
        pairs.map(([, half]) => half),
        0.5,
      ),
  };
}

function share(hits: readonly boolean[]): number {
  return (100 * hits.filter(Boolean).length) / Math.max(1, hits.length);
}

function quantile(values: readonly number[], p: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? NaN;
}
