/** The budget in words: what each input is called, what would make a ± smaller, and figures as percents of the result. */
import type { Budget, BudgetHelp, BudgetInput, BudgetLine } from '../contract.ts';
import { fixed, significant } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

const inputNames: Readonly<Record<BudgetInput, string>> = {
  'scatter-of-readings': 'unsteady readings',
  'jet-push': 'the push of the jet',
  'hose-pull': 'the pull of the hose',
  'fading-push': 'the push of the jet as it fades',
  'hose-swelling': 'the swelling of the hose',
  'swelling-and-steps': 'the swelling of the hose and the steps of the display',
  'display-steps': 'the steps of the display',
  'water-temperature': 'the temperature of the water',
  'air-density': 'the lift of the air',
  'device-clock': 'the clock of the board',
  'host-clock': 'the clock of this computer',
  'scale-factor': 'the check of the scale',
  'scale-drift': 'the drift of the scale',
  'meter-factor': 'the check of the meter',
  'meter-reference': 'what the meter was checked against',
  pulses: 'unsteady pulses',
  'whole-strokes': 'strokes cut off at the ends',
  thumb: 'the thumb on the stopwatch',
  'mark-reading': 'the level read between two marks',
  'pail-marks': 'the marks of the pail',
  catches: 'the catches themselves',
  setting: 'how well the dial comes back',
  'pressure-reading': 'the pressure as it was read',
  repeats: 'repeats that disagree',
  'spray-missed': 'spray that missed the pail',
  'unchecked-scale': 'the scale nobody checked',
  'unchecked-meter': 'the flow meter nobody checked',
};

/** Shared ones that have a name of their own. */
const sharedNames: Readonly<Partial<Record<BudgetInput, string>>> = {
  setting: 'what the whole dial may be off by',
  'pressure-reading': 'what the sensor may be off by',
};

export function inputName(line: Pick<BudgetLine, 'input' | 'scope'>): string {
  return (line.scope === 'shared' ? sharedNames[line.input] : undefined) ?? inputNames[line.input];
}

/** What to do where no figure can be worked out. */
const advice: Readonly<Partial<Record<BudgetInput, string>>> = {
  'display-steps': 'A scale with finer steps makes it smaller.',
  'hose-pull': 'A hose that hangs free and is not moved makes it smaller.',
  'fading-push': 'Less water and more air in the can make its pressure fall more slowly, and this smaller.',
  'hose-swelling': 'Spraying on until the hose has swollen makes it smaller.',
  'swelling-and-steps':
    'Spraying on until the hose has swollen makes it smaller, and so does a scale with finer steps.',
  'scale-factor': 'A heavier known mass, put on more often, makes it smaller.',
  'scale-drift': 'Let the scale stand switched on for a while, out of sun and wind.',
  'meter-factor': 'Longer catches, and more of them, when the meter is checked make it smaller.',
  'meter-reference': 'A better check of the scale, before the meter is checked against it, makes it smaller.',
  'whole-strokes': 'More strokes in a catch make it smaller.',
  'pail-marks': 'Weighing the water takes it away.',
  repeats: 'Turn the dial to its mark from the same side each time.',
  'pressure-reading': 'A check of the sensor at two known pressures makes it smaller.',
};

function helpText({ help, amount }: BudgetHelp, units: ShownUnits): string {
  const many = amount === null ? '' : fixed(amount, 0);
  switch (help) {
    case 'guide-wand':
      return 'With the wand in a guide that stands on the ground';
    case 'measure-water':
      return 'With a thermometer in the pail';
    case 'longer-catch':
      return `With a catch of ${many} s`;
    case 'three-catches':
      return 'With the mean of three such catches';
    case 'twice-the-catches':
      return `With ${many} catches at each setting`;
    case 'pressure-sensor':
      return `With a pressure sensor good to ${pressureText(amount ?? 0, units)}`;
    case 'dial-at-zero':
      return 'With the dial read at zero pressure';
    case 'clock-check':
      return `With ${many} s of readings to check the clock`;
  }
}

/** "0.31 %" of the result. */
function percent(part: number, budget: Budget): string {
  return `${significant((100 * part) / Math.abs(budget.value), 2)} %`;
}

/** A second part is named when it is nearly as big. */
const NEARLY_AS_BIG = 0.7;

/**
 * "Give or take 0.35 % in all. Biggest part: the push of the jet (± 0.31 %). With the wand in a guide that stands on the ground it would be
 * ± 0.12 % in all." A part's ± is at 95 %, like the whole.
 */
export function biggestSentence(budget: Budget, units: ShownUnits): string {
  const parts = counted(budget);
  const [first, second] = parts;
  if (first === undefined) return '';
  const named = [first, ...(isBig(second, first) ? [second] : [])].map(
    (line) => `${inputName(line)} (± ${percent(line.contribution * budget.coverageFactor, budget)})`,
  );
  const help = budget.helps.find(({ acts }) => acts === first.input) ?? budget.helps[0];
  const todo =
    help === undefined
      ? (advice[first.input] ?? '')
      : `${helpText(help, units)} it would be ± ${percent(help.expandedUncertainty95, budget)} in all.`;
  const whole = `Give or take ${percent(budget.expandedUncertainty95, budget)} in all.`;
  const biggest = `${named.length > 1 ? 'Biggest parts' : 'Biggest part'}: ${named.join(' and ')}.`;
  return [whole, biggest, todo, ...notCounted(budget).map(({ said }) => said)]
    .filter((text) => text !== '')
    .join(' ');
}

/** Of an instrument that nobody checked no ± can tell anything: said where the ± stands, with what to do. */
const uncheckedWords: Readonly<
  Partial<Record<BudgetInput, { readonly said: string; readonly todo: string }>>
> = {
  'unchecked-scale': {
    said: 'The scale was not checked: what it is off by is not in that.',
    todo: 'With a known weight on the scale, what it is off by would be known and in the ±.',
  },
  'unchecked-meter': {
    said: 'The flow meter was not checked: what it is off by is not in that.',
    todo: 'With the meter held against a checked scale, what it is off by would be known and in the ±.',
  },
};

function notCounted(budget: Budget): { readonly said: string; readonly todo: string }[] {
  return budget.lines.flatMap(({ input }) => uncheckedWords[input] ?? []);
}

/** The others that would help, each with what the whole ± would be; first what no ± holds yet. */
export function otherHelps(budget: Budget, units: ShownUnits): string[] {
  const helps = budget.helps.map(
    (help) =>
      `${helpText(help, units)}: ± ${percent(help.expandedUncertainty95, budget)} instead of ${percent(budget.expandedUncertainty95, budget)}.`,
  );
  return [...notCounted(budget).map(({ todo }) => todo), ...helps];
}

function isBig(second: BudgetLine | undefined, first: BudgetLine): second is BudgetLine {
  return second !== undefined && second.contribution > NEARLY_AS_BIG * first.contribution;
}

function counted(budget: Budget): BudgetLine[] {
  return budget.lines
    .filter((line) => line.included && line.contribution > 0)
    .sort((a, b) => b.contribution - a.contribution);
}

export interface BudgetRow {
  readonly name: string;
  readonly value: string;
  readonly doubt: string;
  readonly known: string;
  readonly effect: string;
  readonly degreesOfFreedom: string;
  readonly scope: string;
  readonly part: string;
}

const distributions: Readonly<Record<BudgetLine['distribution'], string>> = {
  scatter: 'seen to scatter',
  normal: 'stated',
  rectangular: 'anywhere within',
  'one-sided': 'one side only',
  unknown: 'nobody can say',
};

/** 10⁶ stands for "known". */
const KNOWN = 1e6;
/** More than anyone tells apart. */
const MANY = 500;

export function budgetRows(budget: Budget, units: ShownUnits): BudgetRow[] {
  const counts = counted(budget);
  const rest = budget.lines.filter((line) => !line.included);
  return [...counts, ...rest].map((line) => ({
    name: inputName(line),
    value: line.value === null || isShare(line) ? '' : shownIn(line.value, line.unit, units),
    doubt: line.included ? `± ${shownIn(line.standardUncertainty, line.unit, units, true)}` : 'not known',
    known: distributions[line.distribution],
    effect: line.included
      ? effectText(line, budget, units)
      : line.distribution === 'one-sided'
        ? 'reads low'
        : 'low or high',
    degreesOfFreedom: line.included ? degreesText(line.degreesOfFreedom) : '',
    scope: line.scope === 'own' ? 'own' : 'shared',
    part: line.included ? `± ${percent(line.contribution * budget.coverageFactor, budget)}` : 'not in the ±',
  }));
}

/** "together: standard deviation 0.17 %, 5.4 degrees of freedom, t 2.52: ± 0.43 %" */
export function togetherText(budget: Budget): string {
  const u = percent(budget.standardUncertainty, budget);
  const df = degreesText(budget.degreesOfFreedom);
  const known = budget.degreesOfFreedom >= KNOWN ? 'all of it known' : `${df} degrees of freedom`;
  return `${u} as one standard deviation, ${known}, times ${fixed(budget.coverageFactor, 2)}: ± ${percent(budget.expandedUncertainty95, budget)}`;
}

function degreesText(degreesOfFreedom: number): string {
  if (degreesOfFreedom >= KNOWN) return '∞';
  if (degreesOfFreedom > MANY) return `over ${MANY}`;
  return degreesOfFreedom < 100 ? fixed(degreesOfFreedom, 1) : fixed(degreesOfFreedom, 0);
}

/** Lines of k whose value is a number of catches, and whose doubt is a share of the result. */
function isShare(line: BudgetLine): boolean {
  return line.unit === '1' && line.value !== null && line.value > 1.5;
}

interface Shown {
  readonly factor: number;
  readonly label: string;
}

function shownUnit(unit: string, units: ShownUnits): Shown {
  switch (unit) {
    case '1':
      return { factor: 100, label: '%' };
    case 'kg/s':
      return { factor: 1000, label: 'g/s' };
    case 'kg':
      return { factor: 1000, label: 'g' };
    case 'm³':
      return { factor: units.volume.fromSI(1), label: units.volume.label };
    case 'm³/s':
      return { factor: units.flow.fromSI(1), label: units.flow.label };
    case 'Pa':
      return { factor: units.pressure.fromSI(1), label: units.pressure.label };
    default:
      return { factor: 1, label: unit };
  }
}

function shownIn(value: number, unit: string, units: ShownUnits, isDoubt = false): string {
  if (unit === '°C' && units.temperature.label !== '°C') {
    const degrees = units.temperature.fromSI(value) - (isDoubt ? units.temperature.fromSI(0) : 0);
    return `${significant(degrees, isDoubt ? 2 : 3)} ${units.temperature.label}`;
  }
  const { factor, label } = shownUnit(unit, units);
  // A factor near one is told as it is, its doubt in percent.
  if (unit === '1' && !isDoubt) return significant(value, 6);
  return `${significant(value * factor, isDoubt ? 2 : 4)} ${label}`;
}

/** How much of the result one shown unit of the input makes. */
function effectText(line: BudgetLine, budget: Budget, units: ShownUnits): string {
  const perSI = (100 * Math.abs(line.sensitivity)) / Math.abs(budget.value);
  if (line.unit === '1' && Math.abs(perSI - 100) < 0.5) return '1 to 1';
  if (line.unit === '°C' && units.temperature.label !== '°C') {
    return `${significant(perSI / 1.8, 2)} % per ${units.temperature.label}`;
  }
  const { factor, label } = shownUnit(line.unit, units);
  return `${significant(perSI / factor, 2)} % per ${label}`;
}
