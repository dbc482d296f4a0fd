// Over 300 lines: a capture's analysis is one object that is fed and asked; every step that can stand alone does, in a file beside it.
import type { Absence, Warning } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import { describeInstrument } from '../../signal/captures/describe-instrument.ts';
import type { CaptureMark } from '../../signal/captures/mark.ts';
import type { CaptureSink, CaptureSummary } from '../../signal/captures/read.ts';
import { MAX_LINE_BYTES } from '../../signal/lines/line-splitter.ts';
import type { Reading } from '../../signal/reading.ts';
import { stripFrame } from '../../signal/lines/frame.ts';
import { createDecoder } from '../../signal/streams/decoder.ts';
import type { LineDecoder } from '../../signal/streams/decoder.ts';
import { isMeterChecked } from '../budget/meter-parts.ts';
import { isScaleChecked, scaleFactorOf, type LaterScaleCheck } from '../budget/scale-factor.ts';
import type { BudgetFacts } from '../budget/capture-budgets.ts';
import { sharedParts } from '../budget/shared-parts.ts';
import type { MeterPoint } from '../checks/meter-check.ts';
import { isDiagnosis } from '../diagnosis/diagnose.ts';
import type { Diagnosis, NoDiagnosis } from '../diagnosis/diagnosis.ts';
import { meterPointsOf } from '../checks/meter-points.ts';
import { AIR_DENSITY_KG_PER_M3, buoyancyFactor } from '../flow/buoyancy.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { catchWater } from '../flow/warm-water.ts';
import { rigFacts, rigWarnings } from '../rigs/rig-facts.ts';
import type { CatchContext } from './analyse-catch.ts';
import { analysePlateaus } from './analyse-plateaus.ts';
import type { AnalysedCatch, Analysis, CurvePicture } from './analysis.ts';
import { BareReadings } from './bare-readings.ts';
import { CaptureColumns } from './capture-columns.ts';
import type { Break } from './capture-columns.ts';
import { captureCurve } from './capture-curve.ts';
import { detectCatches } from './detect-catches.ts';
import { estimatorVersion } from './estimator-version.ts';
import type { Detected } from './detect-catches.ts';
import { diagnoseCapture, documentedFinding } from './finding.ts';
import { dialZeroOf, planAt, plannedPour, settingAt, struckCatches, struckPoints } from './marks.ts';
import type { TimedMark } from './marks.ts';
import { clockFields, mapClock } from './map-clock.ts';
import type { MappedClock } from './map-clock.ts';
import { outOfPulses } from './mass-from-pulses.ts';
import { pressureColumn } from './pressure-column.ts';
import { analyseRigPour, listeningOf, rigResult } from './rig-sweep.ts';
import type { RigDetails, RigResult } from './rig-sweep.ts';
import { labelsOf, severalTips, voidIfTipChanged, type SeveralTips } from './several-tips.ts';
import { tooSlow } from './too-slow.ts';

/** The analysis, what the screen draws of it, and the readings on the axis the catches were found on (views, don't write). */
export interface AnalysedCapture {
  readonly analysis: Analysis;
  readonly picture: CurvePicture | null;
  readonly pictureBecause: Absence | null;
  /** For `captureBudgets`, where somebody asks what a ± is made of. */
  readonly budgetFacts: BudgetFacts;
  readonly readings: { readonly time_s: Float64Array; readonly mass_kg: Float64Array };
  /** What a meter check takes from this capture: catches that were weighed and metered. */
  readonly meterPoints: readonly MeterPoint[];
  /** What the rig's kind adds to each catch, beside the documented analysis; null for a held pressure into a pail. */
  readonly rig: RigResult | null;
  /** The documented finding with all that is to be said beside it, or why there is none and how to get one. */
  readonly diagnosis: Diagnosis | NoDiagnosis;
  /** Tip or position of each catch, as announced; null where nobody said. */
  readonly labels: readonly (string | null)[];
  /** Several tips in one capture: how they compare. Then there is no one curve. */
  readonly several: SeveralTips | null;
}

/**
 * A capture to its analysis: give it to a `CaptureReader` as the sink, or feed it lines and marks as they happen.
 * Readings are kept as columns (56 bytes each), lines are not kept. `finish` may be asked as often as liked, also in between: it
 * changes nothing, and the same lines and marks always give the same numbers, live or from a file.
 * Errors: lines before the header (a mistake of the caller) throw RangeError.
 */
export class CaptureAnalyser implements CaptureSink {
  private readonly columns = new CaptureColumns();
  private readonly marks: TimedMark[] = [];
  private readonly warned = new Set<Warning>();
  private about: CaptureHeader | null = null;
  private decoder: LineDecoder | null = null;
  /** Reads bare numbers whose unit nobody named, as if they were grams: enough to see a catch, never to give its flow. */
  private unitless: LineDecoder | null = null;
  private readonly bare = new BareReadings();
  private gaps = 0;
  private first_s: number | null = null;
  private last_s = 0;

  header(header: CaptureHeader): void {
    this.about = header;
    const described = describeInstrument(header);
    if (!described.ok) throw new RangeError(described.because);
    this.decoder = createDecoder(described.value);
    if (described.value.kind === 'scale' && described.value.bareUnit === null) {
      this.unitless = createDecoder({ ...described.value, bareUnit: 'g' });
    }
    if (header.simulated === true) this.warned.add('simulated');
    if (header.waterTemperature_degC === undefined) this.warned.add('water-temperature-assumed');
    if (header.settingStandardUncertainty_Pa === undefined) this.warned.add('setting-uncertainty-assumed');
    if (header.averagedReadings === undefined && header.instrument === 'scale')
      this.warned.add('averaging-unknown');
    if (!isScaleChecked(header)) this.warned.add('scale-not-checked');
  }

  line(arrival_s: number, line: string): void {
    if (this.decoder === null) throw new RangeError('a header comes before the first line');
    this.first_s ??= arrival_s;
    this.last_s = Math.max(this.last_s, arrival_s);
    const cut = line.length >= MAX_LINE_BYTES;
    if (cut) this.warned.add('lines-cut');
    const bare = stripFrame(line);
    for (const event of this.decoder.decode({ arrival_s, line: bare, cut })) {
      switch (event.kind) {
        case 'reading':
          this.columns.push(event.reading);
          break;
        case 'gap':
          this.gaps++;
          this.columns.gap(event.at_s, event.because);
          break;
        case 'unit-changed':
          this.warned.add('unit-changed');
          break;
        case 'line-refused':
          if (event.because === 'line-unit-missing') this.withoutUnit(arrival_s, bare);
          break;
        case 'board-says':
          break;
      }
    }
  }

  /**
   * A kept reading instead of the line it came from (a sweep whose raw lines were let go of). `apart`: the readings before it
   * were not kept, so nothing may be joined across; that is no gap of the instrument's.
   */
  reading(reading: Reading, apart: boolean): void {
    this.first_s ??= reading.arrival_s;
    this.last_s = Math.max(this.last_s, reading.arrival_s);
    if (apart) this.columns.gap(reading.time_s, 'lines-lost');
    this.columns.push(reading);
  }

  mark(at_s: number, mark: CaptureMark): void {
    if (mark.kind === 'gap' && this.decoder !== null) {
      for (const event of this.decoder.gap(at_s, mark.reason)) {
        if (event.kind !== 'gap') continue;
        this.gaps++;
        this.columns.gap(at_s, event.because);
      }
    } else if (mark.kind === 'unknown') this.warned.add('unknown-mark');
    else {
      if (mark.kind === 'scale-check') this.warned.delete('scale-not-checked');
      this.marks.push({ at_s, mark });
      // A file put together by hand may have them out of order: what counts is when, not where it stands.
      this.marks.sort((a, b) => a.at_s - b.at_s);
    }
  }

  /** `file`: the name to print. `summary`: what the reader had to say of the file, if there was one. */
  finish(file: string, summary: CaptureSummary | null = null): AnalysedCapture {
    const about = this.about;
    if (about === null || this.decoder === null) throw new RangeError('nothing is known of this capture');
    const clock = mapClock(this.columns, about);
    const time_s = clock.time_s;
    const rigDetails: RigDetails = new Map();
    const { context, detected, warnings, shown_kg } = this.listen(about, clock, rigDetails);
    const catches = this.catchesOf(detected, context);
    const labels = labelsOf(catches, this.marks);
    const several = severalTips(catches, labels, about);
    const { curve, budgetFacts } = captureCurve(catches, about, context, {
      noCatchesBecause: this.bare.areAll(this.columns.count) ? 'unit-missing' : 'no-catches',
      several: several !== null || about.routine !== undefined,
      dialZero: dialZeroOf(this.marks),
    });
    const linesRefused = this.decoder.linesRefused + (summary?.malformedLines ?? 0);
    const diagnosis = diagnoseCapture(curve, catches, about, this.marks);
    const all = new Set<Warning>([
      ...this.warned,
      ...(summary?.warnings ?? []),
      ...warnings,
      ...rigWarnings(context.rig ?? null),
      ...curve.warnings,
      ...(isDiagnosis(diagnosis) ? diagnosis.warnings : []),
    ]);
    if (linesRefused > 0) all.add('lines-refused');
    const analysis: Analysis = {
      format: 'catchbench-analysis 1',
      file,
      estimatorVersion,
      simulated: about.simulated === true,
      readings: this.columns.count,
      linesRefused,
      gaps: this.gaps,
      duration_s: this.first_s === null ? 0 : this.last_s - this.first_s,
      ...clockFields(clock),
      warnings: [...all],
      catches,
      withdrawn: detected.withdrawn,
      curve: curve.picture?.curve ?? null,
      curveBecause: curve.because,
      ...documentedFinding(diagnosis),
    };
    return {
      analysis,
      picture: curve.picture,
      pictureBecause: curve.because,
      budgetFacts,
      // A meter alone: what has passed it is what the catches were found on.
      readings: { time_s, mass_kg: context.hasMass ? shown_kg : (context.passed_kg ?? shown_kg) },
      meterPoints: context.hasMass ? meterPointsOf(catches, context) : [],
      rig: rigResult(context, catches, rigDetails),
      diagnosis,
      labels,
      several,
    };
  }

  private withoutUnit(arrival_s: number, line: string): void {
    for (const event of this.unitless?.decode({ arrival_s, line, cut: false }) ?? []) {
      if (event.kind !== 'reading') continue;
      // Among lines that name their unit a bare one is likely cut, and its last digit says nothing of the display's step.
      const isAlone = !this.bare.areAll(this.columns.count) && this.columns.count > 0;
      this.bare.note(this.columns.count);
      this.columns.push(isAlone ? { ...event.reading, step_kg: null } : event.reading);
    }
  }

  private listen(
    about: CaptureHeader,
    clock: MappedClock,
    rigDetails: RigDetails,
  ): {
    readonly context: CatchContext;
    readonly detected: Detected;
    readonly warnings: readonly Warning[];
    readonly shown_kg: Float64Array;
  } {
    const { columns } = this;
    const { time_s } = clock;
    const averagedReadings = about.averagedReadings ?? null;
    const warnings: Warning[] = [];
    const water = catchWater(about.waterTemperature_degC ?? null);
    const scale = scaleFactorOf(about, this.scaleChecks(), water.density_kg_per_m3);
    if (scale.drifted) warnings.push('scale-drifted');
    if (water.warm) warnings.push('water-warm');
    if (!clock.checked) warnings.push('clock-not-checked');
    if (tooSlow(time_s)) warnings.push('readings-too-slow');
    const hasMass = columns.massShown > 0;
    const edgeAge_s = columns.column('edgeAge_s');
    const edge_s = time_s.map((t, i) => t - (clock.ratio ?? 1) * edgeAge_s[i]!);
    const meter =
      about.pulsesPerLitre === undefined
        ? null
        : { pulsesPerCubicMetre: about.pulsesPerLitre * 1e3, offset_Hz: about.meterOffset_Hz ?? 0 };
    const fromPulses = !hasMass && meter !== null;
    if (fromPulses && !isMeterChecked(about)) warnings.push('meter-not-checked');
    const pulses = columns.column('pulses');
    const shown_kg = this.bare.withoutCutLines(columns.column('mass_kg'));
    const rig = rigFacts(about);
    const turned = rig?.standsOnScale === 'sprayer';
    // Mass lost is heard and weighed as mass caught, with the sign turned.
    const mass_kg = turned ? shown_kg.map((shown) => -shown) : shown_kg;
    const listened = fromPulses
      ? outOfPulses(time_s, pulses, edge_s, meter)
      : { mass_kg, step_kg: columns.step_kg };
    if (fromPulses && (rig?.kind ?? 'held') !== 'held') warnings.push('rig-read-as-held');
    const detected = detectCatches(
      time_s,
      turned && !fromPulses ? shown_kg : listened.mass_kg,
      this.breaks(time_s),
      {
        mayBend: (start_s) => planAt(this.marks, start_s) !== null,
        step_kg: listened.step_kg,
        averagedReadings: fromPulses ? 1 : averagedReadings,
        ...(fromPulses ? {} : listeningOf(rig)),
      },
    );
    const factorFrom = about.scaleFactorFrom ?? 'maker';
    const buoyancy = buoyancyFactor(factorFrom, water.density_kg_per_m3, AIR_DENSITY_KG_PER_M3);
    const supply = columns.column('supplyFraction');
    return {
      detected,
      warnings,
      shown_kg,
      context: {
        rig,
        noteRig: (start_s, detail) => void rigDetails.set(start_s, detail),
        time_s,
        mass_kg,
        passed_kg: listened.mass_kg,
        pulses,
        edge_s,
        pressure_Pa: pressureColumn(supply, about),
        hasMass,
        isUnitUnknown: (from_s, to_s) =>
          this.bare.isUnitUnknown(
            firstAtOrAfter(time_s, columns.count, from_s),
            firstAtOrAfter(time_s, columns.count, to_s),
            columns.count,
          ),
        hasSensor: about.pressureFullScale_Pa !== undefined && supply.some((x) => !Number.isNaN(x)),
        averagedReadings,
        step_kg: columns.step_kg,
        wand: about.wand ?? 'hand-held',
        meter,
        volumePerMass_m3_per_kg: (scale.applied * buoyancy) / water.density_kg_per_m3,
        about,
        shared: sharedParts({
          header: about,
          water,
          scale,
          clock:
            clock.ratio === null || clock.ratioStandardUncertainty === null
              ? null
              : { ratio: clock.ratio, standardUncertainty: clock.ratioStandardUncertainty },
        }),
        disturbed_s: detected.disturbed_s,
      },
    };
  }

  private scaleChecks(): readonly LaterScaleCheck[] {
    return this.marks.flatMap(({ mark }) =>
      mark.kind === 'scale-check' ? [{ ...mark, corrects: mark.corrects === true }] : [],
    );
  }

  private breaks(time_s: Float64Array): readonly Break[] {
    const borders = this.bare.borders(this.columns.count);
    if (borders.length === 0) return this.columns.breaks;
    const units = borders.map((before): Break => {
      return { kind: 'gap', before, at_s: time_s[before] ?? 0, because: 'readings-stopped' };
    });
    return [...this.columns.breaks, ...units].sort((a, b) => a.before - b.before);
  }

  private catchesOf(detected: Detected, context: CatchContext): AnalysedCatch[] {
    const struck = struckCatches(
      this.marks,
      detected.catches.map((caught) => caught.start_s),
    );
    return detected.catches.flatMap((caught, i) => {
      const pour = i + 1;
      const plan = plannedPour(this.marks, caught.start_s, caught.stop_s);
      if (plan !== null) {
        const struckAt = (start_s: number): boolean => struckCatches(this.marks, [start_s])[0] ?? false;
        return analysePlateaus(caught, pour, plan, struckAt, context);
      }
      const analysed = analyseRigPour(
        caught,
        {
          setting_Pa: settingAt(this.marks, caught.start_s),
          settingBecause: 'none-announced',
          pour,
          struck: struck[i] ?? false,
        },
        (starts_s) => struckPoints(this.marks, caught.start_s, starts_s),
        context,
      );
      return [analysed].flat().map((one) => voidIfTipChanged(one, this.marks));
    });
  }
}
