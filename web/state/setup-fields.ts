/** The set-up as typed: strings in the person's units, with the values each field begins with. */
import type { RigSetup } from '../contract.ts';
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
  routine: 'one-tip' | 'tip-against-tip' | 'boom';
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

export function usualCatches({ routine, protocol }: Pick<SetupFields, 'routine' | 'protocol'>): string {
  if (routine === 'one-tip') return protocol === 'one-pour' ? '1' : '3';
  return routine === 'boom' ? '1' : '4';
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

/** Invented demo data for the simulated bench; every sweep made with it is marked simulated. */
export function demoFields(system: UnitSystem): SetupFields {
  const stamped =
    system === 'us'
      ? { ratedFlow: '0.4', ratedPressure: '40', water: '64' }
      : { ratedFlow: '1.5', ratedPressure: '3', water: '18' };
  return {
    ...blankFields(system),
    tipName: 'Invented tip',
    otherTip: 'Invented tip 2',
    rigName: 'Invented sprayer',
    ...stamped,
  };
}
