/** The set-up as typed: strings in the person's units, with the values each field begins with. */
import type { RigSetup, SweepSetup } from '../contract.ts';
import type { UnitSystem } from '../wording/units.ts';

export interface SetupFields {
  tipName: string;
  ratedFlow: string;
  ratedPressure: string;
  rigName: string;
  settings: string;
  dialPlusMinus: string;
  control: 'turns-freely' | 'clicks-or-shows';
  wand: 'guided' | 'hand-held';
  scaleLimit: string;
  pail: string;
  water: string;
  catches: string;
  order: 'random' | 'as-listed';
  target: string;
  markSpacing: string;
  protocol: 'each-catch' | 'one-pour';
  settingsFrom: 'prompts' | 'sensor';
  rigKind: RigSetup['kind'];
  /** Seconds between two strokes of the beat. */
  beat: string;
  standsOnScale: RigSetup['standsOnScale'];
  /** One tip and its curve, two tips in turn, or the nozzles of a boom. */
  routine: 'one-tip' | 'tip-against-tip' | 'bag' | 'boom';
  /** Why one tip is measured. */
  occasion: SweepSetup['occasion'];
  /** Of a bag all others, a comma between them. */
  otherTip: string;
  /** Percent. */
  difference: string;
  positions: string;
  gaugeAt: 'not-told' | 'pump' | 'wand';
  hoseLength: string;
  hoseBore: string;
  /** Of the tip above the gauge; below it is negative. */
  tipHeight: string;
  /** Pressure that the weakest part is rated for. */
  weakestRating: string;
}

/** Judgement, no source: what still fits a headline and can be spoken. */
export const LONGEST_NAME = 80;

export type SetupFieldName = keyof SetupFields;

/** Fields whose text has a unit: a change of units turns it over. */
export const fieldsWithUnits = [
  'ratedFlow',
  'ratedPressure',
  'settings',
  'dialPlusMinus',
  'scaleLimit',
  'pail',
  'water',
  'markSpacing',
  'hoseLength',
  'hoseBore',
  'tipHeight',
  'weakestRating',
] as const satisfies readonly SetupFieldName[];

/** Between gauge and tip: nobody has to know it, and nothing is guessed. */
const plumbingNotTold = { hoseLength: '', hoseBore: '', tipHeight: '', weakestRating: '' } as const;

/** Round figures in each system; they are starting values, not conversions of each other. */
const roundFigures: Readonly<Record<UnitSystem, Pick<SetupFields, (typeof fieldsWithUnits)[number]>>> = {
  us: {
    ratedFlow: '',
    ratedPressure: '',
    settings: '20 30 40 50 60',
    dialPlusMinus: '3',
    scaleLimit: '40',
    pail: '5',
    water: '',
    markSpacing: '4',
    ...plumbingNotTold,
  },
  metric: {
    ratedFlow: '',
    ratedPressure: '',
    settings: '1.5 2 2.5 3 4',
    dialPlusMinus: '0.2',
    scaleLimit: '20',
    pail: '20',
    water: '',
    markSpacing: '100',
    ...plumbingNotTold,
  },
};

const common = {
  control: 'turns-freely',
  wand: 'guided',
  // Three timed repeats: common practice, no source.
  catches: '3',
  order: 'random',
  target: '0.5',
  protocol: 'each-catch',
  settingsFrom: 'prompts',
  rigKind: 'held',
  // A pace that a lever can be worked at for a minute; judgement, no source.
  beat: '1.5',
  standsOnScale: 'pail',
  routine: 'one-tip',
  occasion: 'sweep',
  otherTip: '',
  // What a person would act on, and what a few catches show; judgement, no source.
  difference: '2',
  positions: '4',
  gaugeAt: 'not-told',
} as const;

/** Several tips are compared at one setting, the middle one unless another is typed. */
export function usualSettings(routine: SetupFields['routine'], system: UnitSystem): string {
  if (routine === 'one-tip') return roundFigures[system].settings;
  return system === 'us' ? '40' : '3';
}

/** A check is two settings of the list, the second from either end; a list of two or fewer stays as it is. */
export function settingsOfCheck(list: string): string {
  const all = list
    .trim()
    .split(/\s+/u)
    .map((one) => one.replace(/[,;]$/u, ''));
  return all.length > 2 ? [...new Set([all[1]!, all.at(-2)!])].join(' ') : list;
}

export function usualCatches({ routine, protocol }: Pick<SetupFields, 'routine' | 'protocol'>): string {
  if (routine === 'one-tip') return protocol === 'one-pour' ? '1' : '3';
  return routine === 'tip-against-tip' ? '4' : routine === 'bag' ? '2' : '1';
}

/** Round figures for what stands on the scale: a pail and its volume, or a sprayer and the fill of its tank. */
export function figuresOf(
  stands: SetupFields['standsOnScale'],
  system: UnitSystem,
): Pick<SetupFields, 'pail' | 'scaleLimit'> {
  if (stands === 'pail') return roundFigures[system];
  return system === 'us' ? { pail: '3', scaleLimit: '60' } : { pail: '12', scaleLimit: '30' };
}

export function blankFields(system: UnitSystem): SetupFields {
  return { tipName: '', rigName: '', ...common, ...roundFigures[system] };
}

export const inventedOthers: Readonly<Record<'one' | 'bag', string>> = {
  one: 'Invented tip 2',
  bag: 'Invented tip 2, Invented tip 3, Invented tip 4',
};

/** Invented demo data for the simulated bench; every sweep made with it is marked simulated. */
export function demoFields(system: UnitSystem): SetupFields {
  const stamped =
    system === 'us'
      ? { ratedFlow: '0.4', ratedPressure: '40', water: '64' }
      : { ratedFlow: '1.5', ratedPressure: '3', water: '18' };
  return {
    ...blankFields(system),
    tipName: 'Invented tip',
    otherTip: inventedOthers.one,
    rigName: 'Invented sprayer',
    ...stamped,
  };
}
