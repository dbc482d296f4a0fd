/** What stands large on the running screen, and the quiet lines round it. */
import type { Announcement, CurvePicture, SweepSetup, SweepView } from '../contract.ts';
import { plain, withUncertainty } from './number.ts';
import { words } from './page.ts';
import { pressureText } from './prompts.ts';
import { nozzleFigure, nozzlesNamed, routineContext } from './routines.ts';
import type { ShownUnits } from './units.ts';

export interface BigFigure {
  readonly value: string;
  readonly plusMinus: string | null;
  readonly unit: string;
  /** Measured is blue; a pressure asked for is ochre and says what it is. */
  readonly tone: 'measured' | 'asked' | 'none';
}

/** The one number: while water runs the flow so far, while a setting is to be set that setting. */
export function bigFigure(sweep: SweepView, units: ShownUnits): BigFigure {
  const { running, prompt } = sweep;
  const isAsking = prompt.kind === 'set-and-spray' || prompt.kind === 'move-pail';
  if (running === null && isAsking && prompt.nozzle !== undefined)
    return { ...nozzleFigure(prompt.nozzle), plusMinus: null, tone: 'asked' };
  if ((prompt.kind === 'set-and-spray' || prompt.kind === 'turn-while-spraying') && running === null)
    return {
      value: plain(units.pressure.fromSI(prompt.setting_Pa)),
      plusMinus: null,
      unit: `${units.pressure.label} on the dial`,
      tone: 'asked',
    };
  if (running?.flow_m3_per_s == null || running.expanded_m3_per_s == null)
    return { value: quietFigure(sweep, units), plusMinus: null, unit: '', tone: 'none' };
  const cut = withUncertainty(
    units.flow.fromSI(running.flow_m3_per_s),
    units.flow.fromSI(running.expanded_m3_per_s),
  );
  return {
    value: cut?.value ?? '–',
    plusMinus: cut?.plusMinus ?? null,
    unit: `${units.flow.label} so far`,
    tone: 'measured',
  };
}

/** What stands there in words while there is no figure to show; nothing where the instruction says it all. */
function quietFigure(sweep: SweepView, units: ShownUnits): string {
  const text = words.running;
  const { level_kg } = sweep.pail;
  switch (sweep.prompt.kind) {
    case 'wait-for-instrument':
      return text.waiting;
    case 'paused':
      return text.paused;
    case 'empty-pail':
      return level_kg === null ? '' : `${loadText(level_kg, units)} ${text.inPail}`;
    case 'refill-tank':
      return level_kg === null ? '' : `${loadText(level_kg, units)} ${text.inTank}`;
    case 'keep-spraying':
      return sweep.prompt.swelling === true ? text.notSteady : text.none;
    case 'set-and-spray':
    case 'turn-while-spraying':
      return text.none;
    case 'move-pail':
    case 'more-catches':
    case 'shut-off':
    case 'hold-still':
    case 'pail-too-small':
    case 'done':
      return '';
  }
}

function loadText(mass_kg: number, units: ShownUnits): string {
  return `${plain(Number(units.load.fromSI(mass_kg).toPrecision(2)))} ${units.load.label}`;
}

/** "Catch 2 of 3 at 40 psi · Tip 7 · green knapsack": what matters first, the end may be cut off on a narrow screen. */
export function contextLine(sweep: SweepView, units: ShownUnits): string {
  const { setup, settingNow_Pa, ordinal } = sweep;
  if (sweep.routine !== undefined)
    return routineContext(sweep, pressureText(settingNow_Pa ?? setup.settings_Pa[0] ?? 0, units));
  const where =
    settingNow_Pa === null
      ? ''
      : `${setup.protocol === 'one-pour' ? 'Pour' : 'Catch'} ${ordinal} of ${setup.catchesPerSetting} at ${pressureText(settingNow_Pa, units)} · `;
  return `${where}${setup.tip.name} · ${setup.rig.name}`;
}

/** Announcements that the instruction does not already say. */
export function saysMore(announcement: Announcement): boolean {
  return ['kept', 'pour-kept', 'pressure-read', 'void', 'not-water', 'struck', 'instrument-back'].includes(
    announcement.kind,
  );
}

/** Catches still wanted, the one in hand included. */
export function catchesLeft(sweep: SweepView): number {
  return sweep.plan.reduce((sum, { wanted, done }) => sum + Math.max(0, wanted - done), 0);
}

export function progressSentence(sweep: SweepView): string {
  const wanted = sweep.plan.reduce((sum, setting) => sum + setting.wanted, 0);
  return `${wanted - catchesLeft(sweep)} of ${wanted} catches`;
}

/** What the curve shows, in one sentence. */
export function curveSentence(
  sweep: Pick<SweepView, 'plan'> & { readonly picture: Pick<CurvePicture, 'settings'> | null },
  units: ShownUnits,
): string {
  const parts = sweep.plan.map((setting) => {
    const mean = sweep.picture?.settings.find((one) => one.setting_Pa === setting.setting_Pa);
    const at = pressureText(setting.setting_Pa, units);
    if (mean === undefined) return `${at}: ${setting.done} of ${setting.wanted} catches`;
    const cut = withUncertainty(
      units.flow.fromSI(mean.flow_m3_per_s),
      units.flow.fromSI(mean.expandedUncertainty95_m3_per_s),
    );
    return cut === null ? at : `${at}: ${cut.value}, give or take ${cut.plusMinus}`;
  });
  return `Flow in ${units.flow.label} against pressure. ${parts.join('; ')}.`;
}

/** What a recording is of: the mass in a pail, that of the sprayer on the scale, or what has passed a meter where nothing is weighed. */
export type TraceOf = 'pail' | 'sprayer' | 'meter';

const traceWords = {
  pail: { title: 'The pail over time', what: 'in the pail' },
  sprayer: { title: 'The sprayer on the scale over time', what: 'on the scale' },
  meter: { title: 'Water past the meter over time', what: 'past the meter' },
} as const satisfies Record<TraceOf, object>;

export function traceTitle(of: TraceOf): string {
  return traceWords[of].title;
}

/** "13 lb in the pail, last minute and a half" */
export function traceCaption(units: ShownUnits, whole: boolean, of: TraceOf = 'pail'): string {
  const what = `${units.mass.spoken} ${traceWords[of].what}`;
  return whole ? `${what}, whole recording` : `${what}, last minute and a half`;
}

/** A load that is never full is none: a meter alone. */
export function traceOfSweep({ setup, pail }: Pick<SweepView, 'setup' | 'pail'>): TraceOf {
  if (pail.room_kg === Infinity) return 'meter';
  return setup.rig.standsOnScale === 'sprayer' ? 'sprayer' : 'pail';
}

/** "In the pail" or "In the tank": what the line below is about. */
export function contentName(sweep: Pick<SweepView, 'setup'>): string {
  return isOnScale(sweep) ? words.running.tank : words.running.pail;
}

export function pailLine(sweep: SweepView, units: ShownUnits): string {
  const { level_kg, room_kg } = sweep.pail;
  if (traceOfSweep(sweep) === 'meter') return 'nothing weighs it; watch how full it is.';
  if (isOnScale(sweep))
    return `${level_kg === null ? '' : `${loadText(level_kg, units)}, `}${loadText(room_kg, units)} of it may be sprayed.`;
  return level_kg === null
    ? `Room for ${loadText(room_kg, units)}.`
    : `${loadText(Math.max(0, level_kg), units)}, room for ${loadText(room_kg, units)}.`;
}

/** The sprayer stands on the scale. */
function isOnScale(sweep: Pick<SweepView, 'setup'>): boolean {
  return sweep.setup.rig.standsOnScale === 'sprayer';
}

/** The simulated sweep in one line, so that "Go" is no leap: "rated 0.4 gal/min at 40 psi · 20 30 40 50 60 psi · 3 catches each" */
export function planLine(setup: SweepSetup, units: ShownUnits): string {
  const { tip, settings_Pa, catchesPerSetting } = setup;
  const rated =
    tip.ratedFlow_m3_per_s === null || tip.ratedPressure_Pa === null
      ? []
      : [
          `rated ${plain(units.flow.fromSI(tip.ratedFlow_m3_per_s))} ${units.flow.label} at ${pressureText(tip.ratedPressure_Pa, units)}`,
        ];
  const settings = `${settings_Pa.map((setting) => plain(units.pressure.fromSI(setting))).join(' ')} ${units.pressure.label}`;
  const each =
    setup.protocol === 'one-pour'
      ? `in ${catchesPerSetting === 1 ? 'one pour' : `${catchesPerSetting} pours`}`
      : `${catchesPerSetting} ${catchesPerSetting === 1 ? 'catch' : 'catches'} each`;
  return [nozzlesNamed(setup), ...rated, settings, each].join(' · ');
}
