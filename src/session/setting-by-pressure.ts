import { nearestPlanned } from '../analysis/sweep/recognise-settings.ts';
import { pressureColumn } from '../analysis/sweep/pressure-column.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import type { SweepSetup } from './sweep-setup.ts';

/** The valve opens and a hose fills; then so many seconds of steady pressure are the setting. */
const OPENING_S = 1;
const STEADY_S = 2;
const FEWEST = 8;
/** Steady: the two halves of these seconds agree within so many standard errors, or this share. */
const STANDARD_ERRORS = 4;
const SAME_SHARE = 0.004;
const REMEMBERED_S = 70;

export interface ReadSetting {
  readonly pressure_Pa: number;
  /** The planned setting that this is meant to be; null when none is near enough. */
  readonly setting_Pa: number | null;
}

/** Tells from a sensor which planned setting a catch is of, so that nobody has to announce it or to hit it. Times: the readings'. */
export class SettingByPressure {
  readonly #header: CaptureHeader;
  readonly #setup: SweepSetup;
  #read: { readonly time_s: number; readonly pressure_Pa: number }[] = [];

  constructor(header: CaptureHeader, setup: SweepSetup) {
    this.#header = header;
    this.#setup = setup;
  }

  reading(time_s: number, supplyFraction: number | null): void {
    if (supplyFraction === null) return;
    const pressure_Pa = pressureColumn(Float64Array.of(supplyFraction), this.#header)[0]!;
    if (!Number.isFinite(pressure_Pa)) return;
    this.#read.push({ time_s, pressure_Pa });
    while (this.#read[0]!.time_s < time_s - REMEMBERED_S) this.#read.shift();
  }

  /** The setting of the water that began at `start_s`, once its pressure has been steady for two seconds; null before. */
  steady(start_s: number): ReadSetting | null {
    const now_s = this.#read.at(-1)?.time_s ?? -Infinity;
    if (now_s < start_s + OPENING_S + STEADY_S) return null;
    const recent = this.#read.filter(({ time_s }) => time_s > now_s - STEADY_S);
    if (recent.length < FEWEST) return null;
    const half = recent.length >> 1;
    const first = moments(recent.slice(0, half).map(({ pressure_Pa }) => pressure_Pa));
    const second = moments(recent.slice(half).map(({ pressure_Pa }) => pressure_Pa));
    const error = Math.sqrt(first.variance / first.n + second.variance / second.n);
    const within = Math.max(STANDARD_ERRORS * error, SAME_SHARE * Math.abs(first.mean));
    if (Math.abs(first.mean - second.mean) > within) return null;
    return this.#told((first.mean + second.mean) / 2);
  }

  /** By the mean from `start_s` to `stop_s`, steady or not; null when nothing was read. */
  onTheWhole(start_s: number, stop_s: number): ReadSetting | null {
    const read = this.#read.filter(({ time_s }) => time_s > start_s + OPENING_S && time_s < stop_s);
    return read.length === 0 ? null : this.#told(moments(read.map(({ pressure_Pa }) => pressure_Pa)).mean);
  }

  #told(pressure_Pa: number): ReadSetting | null {
    if (!(pressure_Pa > 0)) return null;
    const { settings_Pa, rig } = this.#setup;
    const setting_Pa = nearestPlanned(pressure_Pa, settings_Pa, rig.settingStandardUncertainty_Pa);
    return { pressure_Pa, setting_Pa };
  }
}

function moments(values: readonly number[]): {
  readonly n: number;
  readonly mean: number;
  readonly variance: number;
} {
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  return {
    n,
    mean,
    variance: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, n - 1),
  };
}
