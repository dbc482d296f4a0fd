/**
 * The plan drawn on the curve, as plain geometry in pixels. Marks stay at their pressure: one mean mark a setting with its ±,
 * repeats as short ticks beside it, hollow marks at the upright's foot for catches still to do.
 */
import { area, line } from 'd3-shape';
import type { CatchView, CurvePicture, PlannedSetting } from '../contract.ts';
import { flowLevels } from './flow-levels.ts';
import { isDoubtful, placeRatedLabel, repeatTicks, spaced } from './keep-apart.ts';
import { plain } from '../wording/number.ts';
import type { ShownUnits } from '../wording/units.ts';

/** As much of a curve as is drawn; the Rack keeps no more of it. */
export type DrawablePicture = Pick<
  CurvePicture,
  'pressures_Pa' | 'flow_m3_per_s' | 'bandHalfWidth_m3_per_s' | 'settings'
>;

export interface CurveInput {
  readonly plan: readonly PlannedSetting[];
  readonly catches: readonly CatchView[];
  readonly picture: DrawablePicture | null;
  readonly rated: { readonly flow_m3_per_s: number; readonly pressure_Pa: number } | null;
  readonly litSetting_Pa: number | null;
  readonly running: {
    readonly setting_Pa: number;
    readonly flow_m3_per_s: number;
    readonly expanded_m3_per_s: number | null;
  } | null;
  /** Flows that must fit on the picture too: what a sound tip would give where a finding shows. */
  readonly alsoFlows_m3_per_s?: readonly number[];
  readonly units: ShownUnits;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface Upright {
  readonly x: number;
  /** Empty where it would run into its neighbour's. */
  readonly label: string;
  readonly lit: boolean;
  /** Heights of the hollow marks, from the foot upwards. */
  readonly toDo: readonly number[];
  readonly mean: {
    /** Beside the upright only where the pressure was measured. */
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
    /** Every catch in it is doubtful: an open diamond. */
    readonly doubtful: boolean;
  } | null;
  /** The single catches, when there is more than one; `dx` keeps those of nearly one height from melting together. */
  readonly repeats: readonly Repeat[];
  /** Heights of catches struck out that had a number. */
  readonly struck: readonly number[];
}

export interface Repeat {
  readonly y: number;
  readonly dx: number;
  readonly doubtful: boolean;
}

export interface DrawnCurve {
  readonly plot: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
  /** From SI to pixels, for what is drawn over it. */
  readonly x: (pressure_Pa: number) => number;
  readonly y: (flow_m3_per_s: number) => number;
  /** Back from a pixel across to Pa. */
  readonly pressureAt: (x: number) => number;
  readonly uprights: readonly Upright[];
  readonly levels: readonly { readonly y: number; readonly label: string }[];
  readonly curve: string | null;
  readonly band: string | null;
  readonly rated: string | null;
  /** Some mark is a diamond, which then has to be said. */
  readonly doubtful: boolean;
  readonly ratedLabel: { readonly x: number; readonly y: number } | null;
  readonly running: {
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
  } | null;
}

const MARGIN = { left: 46, right: 16, top: 26, bottom: 44 } as const;
const TO_DO_STEP = 13;
const CURVE_STEPS = 48;
export const TICK_LENGTH = 9;

const good = (thisCatch: CatchView): boolean =>
  thisCatch.voidBecause === null && !thisCatch.struck && thisCatch.flow_m3_per_s !== null;

interface Range {
  readonly low: number;
  readonly high: number;
}

function pressureRange(input: CurveInput): Range | null {
  const pressures = input.plan.map((setting) => setting.setting_Pa);
  if (pressures.length === 0) return null;
  const low = Math.min(...pressures);
  const high = Math.max(...pressures);
  const pad = high > low ? (high - low) * 0.12 : high * 0.3;
  return { low: Math.max(0, low - 1.6 * pad), high: high + pad };
}

function ratedAt(rated: NonNullable<CurveInput['rated']>, pressure_Pa: number): number {
  return rated.flow_m3_per_s * Math.sqrt(pressure_Pa / rated.pressure_Pa);
}

/** Of the first pressure of the picture that is not below this one; of the last where all are. */
function flowIndex(picture: DrawablePicture, pressure_Pa: number): number {
  const index = picture.pressures_Pa.findIndex((one) => one >= pressure_Pa);
  return index < 0 ? picture.pressures_Pa.length - 1 : index;
}

function insideIndexes(picture: DrawablePicture, range: Range): number[] {
  return picture.pressures_Pa.flatMap((pressure, index) =>
    pressure >= range.low && pressure <= range.high ? [index] : [],
  );
}

/** All flows that have to fit on the picture, SI. */
function flowsToShow(input: CurveInput, range: Range): number[] {
  const flows: number[] = [];
  const { picture, rated, running } = input;
  if (picture !== null) {
    for (const index of insideIndexes(picture, range)) {
      const half = picture.bandHalfWidth_m3_per_s[index]!;
      flows.push(picture.flow_m3_per_s[index]! - half, picture.flow_m3_per_s[index]! + half);
    }
    for (const mean of picture.settings)
      flows.push(
        mean.flow_m3_per_s - mean.expandedUncertainty95_m3_per_s,
        mean.flow_m3_per_s + mean.expandedUncertainty95_m3_per_s,
      );
  }
  if (rated !== null) flows.push(ratedAt(rated, range.low), ratedAt(rated, range.high));
  for (const thisCatch of input.catches) if (good(thisCatch)) flows.push(thisCatch.flow_m3_per_s!);
  if (running !== null) flows.push(running.flow_m3_per_s);
  flows.push(...(input.alsoFlows_m3_per_s ?? []));
  return flows.filter(Number.isFinite);
}

function flowRange(flows: readonly number[]): Range | null {
  if (flows.length === 0) return null;
  const low = Math.min(...flows);
  const high = Math.max(...flows);
  const pad = high > low ? (high - low) * 0.12 : high * 0.3;
  return { low: Math.max(0, low - 3 * pad), high: high + pad };
}

/** @returns null when there is no setting, or no room, to draw. */
export function drawCurve(input: CurveInput, size: Size): DrawnCurve | null {
  const range = pressureRange(input);
  const plot = {
    left: MARGIN.left,
    right: size.width - MARGIN.right,
    top: MARGIN.top,
    bottom: size.height - MARGIN.bottom,
  };
  if (range === null || plot.right - plot.left < 40 || plot.bottom - plot.top < 40) return null;
  const { units, picture, rated, running } = input;
  const x = (pressure_Pa: number): number =>
    plot.left + ((pressure_Pa - range.low) / (range.high - range.low)) * (plot.right - plot.left);
  const pressureAt = (at: number): number =>
    range.low + ((at - plot.left) / (plot.right - plot.left)) * (range.high - range.low);
  const flows = flowRange(flowsToShow(input, range));
  const y = (flow_m3_per_s: number): number =>
    flows === null
      ? plot.bottom
      : plot.bottom - ((flow_m3_per_s - flows.low) / (flows.high - flows.low)) * (plot.bottom - plot.top);

  const inside = picture === null ? [] : insideIndexes(picture, range);
  const band = area<number>()
    .x((index) => x(picture!.pressures_Pa[index]!))
    .y0((index) => y(picture!.flow_m3_per_s[index]! - picture!.bandHalfWidth_m3_per_s[index]!))
    .y1((index) => y(picture!.flow_m3_per_s[index]! + picture!.bandHalfWidth_m3_per_s[index]!));
  const curve = line<number>()
    .x((index) => x(picture!.pressures_Pa[index]!))
    .y((index) => y(picture!.flow_m3_per_s[index]!));
  const steps = Array.from(
    { length: CURVE_STEPS + 1 },
    (_, step) => range.low + ((range.high - range.low) * step) / CURVE_STEPS,
  );
  const ratedLine = line<number>()
    .x((pressure) => x(pressure))
    .y((pressure) => y(ratedAt(rated!, pressure)));

  return {
    plot,
    x,
    y,
    pressureAt,
    uprights: spaced(input.plan.map((setting) => drawUpright(setting, input, x, y, plot.bottom))),
    levels: flows === null ? [] : flowLevels(flows, units, y),
    curve: inside.length > 1 ? curve(inside) : null,
    band: inside.length > 1 ? band(inside) : null,
    rated: rated === null ? null : ratedLine(steps),
    ratedLabel:
      rated === null
        ? null
        : placeRatedLabel(
            input.plan.map(({ setting_Pa }) => x(setting_Pa)),
            plot.right,
            (at) => {
              const pressure = pressureAt(at);
              const measured = picture?.flow_m3_per_s[flowIndex(picture, pressure)];
              const over = measured !== undefined && measured > ratedAt(rated, pressure);
              return y(ratedAt(rated, pressure)) + (over ? 24 : -10);
            },
          ),
    doubtful: input.catches.some((thisCatch) => good(thisCatch) && isDoubtful(thisCatch)),
    running:
      running === null
        ? null
        : {
            x: x(running.setting_Pa),
            y: y(running.flow_m3_per_s),
            low: y(running.flow_m3_per_s - (running.expanded_m3_per_s ?? 0)),
            high: y(running.flow_m3_per_s + (running.expanded_m3_per_s ?? 0)),
          },
  };
}

function drawUpright(
  setting: PlannedSetting,
  input: CurveInput,
  x: (pressure_Pa: number) => number,
  y: (flow_m3_per_s: number) => number,
  bottom: number,
): Upright {
  const here = input.catches.filter((thisCatch) => thisCatch.setting_Pa === setting.setting_Pa);
  const counted = here.filter(good);
  const remaining = Math.max(0, setting.wanted - setting.done);
  return {
    x: x(setting.setting_Pa),
    label: plain(input.units.pressure.fromSI(setting.setting_Pa)),
    lit: setting.setting_Pa === input.litSetting_Pa,
    toDo: Array.from({ length: remaining }, (_, index) => bottom - 12 - index * TO_DO_STEP),
    mean: meanMark(
      setting.setting_Pa,
      here,
      input.picture,
      x(measuredAt(setting.setting_Pa, input.catches)),
      y,
    ),
    repeats: counted.length > 1 ? repeatTicks(counted, y) : [],
    struck: here.flatMap((thisCatch) =>
      thisCatch.struck && thisCatch.flow_m3_per_s !== null ? [y(thisCatch.flow_m3_per_s)] : [],
    ),
  };
}

/** The pressure a setting's mean stands at: as it was read where every good catch of the sweep has one, else the setting itself. */
function measuredAt(setting_Pa: number, catches: readonly CatchView[]): number {
  const used = catches.filter((one) => good(one) && one.setting_Pa !== null);
  const here = used.filter((one) => one.setting_Pa === setting_Pa);
  if (here.length === 0 || !used.every(({ pressure_Pa }) => (pressure_Pa ?? 0) > 0)) return setting_Pa;
  return here.reduce((sum, { pressure_Pa }) => sum + pressure_Pa!, 0) / here.length;
}

/** The worker's mean where it has one; before that a lone catch stands for itself with its own ±, never a mean without one. */
function meanMark(
  setting_Pa: number,
  here: readonly CatchView[],
  picture: DrawablePicture | null,
  x: number,
  y: (flow_m3_per_s: number) => number,
): Upright['mean'] {
  const mean = picture?.settings.find((candidate) => candidate.setting_Pa === setting_Pa);
  const lone = here.filter(good);
  const mark = (flow: number, half: number): Upright['mean'] => ({
    x,
    y: y(flow),
    low: y(flow - half),
    high: y(flow + half),
    doubtful: lone.length > 0 && lone.every(isDoubtful),
  });
  if (mean !== undefined) return mark(mean.flow_m3_per_s, mean.expandedUncertainty95_m3_per_s);
  const only = lone.length === 1 ? lone[0] : undefined;
  return only === undefined ? null : mark(only.flow_m3_per_s!, only.expandedUncertainty95_m3_per_s ?? 0);
}
