import { PassedWater } from '../analysis/sweep/mass-from-pulses.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import type { Reading } from '../signal/reading.ts';

/** Good enough for the number while water runs: what is kept comes from the analysis. */
const WATER_KG_PER_M3 = 998;
/** What `PassedWater` calls a cubic metre. */
const PASSED_KG_PER_M3 = 1000;

/**
 * What a live sweep listens to: the mass on the scale; or, on a board that weighs nothing but has a meter, the water that has passed it.
 * Live and from a file alike, this is for hearing pours and for the number while they run; a metered flow is taken from the edges.
 */
export class HeardWater {
  /** As readings, for whoever cuts a filter's length off: a meter has none. */
  readonly averagedReadings: number | null;
  readonly #passed: PassedWater | null;
  readonly #perMass_m3_per_kg: number;
  readonly #offset_m3_per_s: number;

  constructor(header: CaptureHeader) {
    const { pulsesPerLitre, meterOffset_Hz = 0, scaleFactor = 1 } = header;
    const isMetered =
      header.instrument === 'bench-board' &&
      header.gramsPerCount === undefined &&
      pulsesPerLitre !== undefined;
    const perCubicMetre = (pulsesPerLitre ?? 1) * 1e3;
    this.#passed = isMetered
      ? new PassedWater({ pulsesPerCubicMetre: perCubicMetre, offset_Hz: meterOffset_Hz })
      : null;
    this.averagedReadings = isMetered ? 1 : (header.averagedReadings ?? null);
    this.#perMass_m3_per_kg = isMetered ? 1 / PASSED_KG_PER_M3 : scaleFactor / WATER_KG_PER_M3;
    this.#offset_m3_per_s = isMetered ? meterOffset_Hz / perCubicMetre : 0;
  }

  /** No scale: there is no jet to press on it, and no pail whose fill is known. */
  get isMetered(): boolean {
    return this.#passed !== null;
  }

  /** Water of one pulse; null where a scale shows what it shows. */
  get step_kg(): number | null {
    return this.#passed?.step_kg ?? null;
  }

  /** Null where this reading tells nothing. Call it once for each reading, in order. */
  of({ time_s, mass_kg, pulses, edge_s }: Reading): number | null {
    if (this.#passed === null) return mass_kg;
    const passed_kg = this.#passed.at(time_s, pulses ?? NaN, edge_s ?? NaN);
    return Number.isNaN(passed_kg) ? null : passed_kg;
  }

  /** Volume flow of what was heard, with the correction of a checked scale or the offset of a checked meter. */
  flow_m3_per_s(heard_kg_per_s: number): number {
    return heard_kg_per_s * this.#perMass_m3_per_kg + this.#offset_m3_per_s;
  }

  /** The same for a ±, on which an offset does nothing. */
  halfWidth_m3_per_s(heard_kg_per_s: number): number {
    return heard_kg_per_s * this.#perMass_m3_per_kg;
  }
}
