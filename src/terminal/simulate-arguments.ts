import { rigCheckKinds, type RigCheckKind } from '../analysis/diagnosis/evidence.ts';
import type { InstrumentOptions } from '../simulation/instrument.ts';
import { scaleDialects } from '../simulation/scale-voice.ts';
import { isScenarioName, scenarioNames } from '../simulation/scenario.ts';
import type { SimulatedDial } from '../simulation/rig.ts';
import type { CaptureRequest } from '../simulation/simulated-capture.ts';
import { faultUsage, readFault } from './fault-arguments.ts';
import { ArgumentError, percent, pressure, readFlow } from './quantity-arguments.ts';

export { ArgumentError } from './quantity-arguments.ts';

export const usage = `Usage: npm run -s simulate -- [options]        writes a capture to standard output

  --scenario NAME       ${scenarioNames.filter((name) => !name.endsWith('-pure')).join(' ')} (each also with -pure); typical if not given
  --seed N              same seed, same capture; 1 if not given
  --fills N             number of fills; 10 if not given
  --instrument KIND     scale (if not given) or bench-board
  --dialect NAME        ${scaleDialects.join(' ')} (scale only)
  --meter N             flow meter with N pulses per litre (bench-board only)
  --sensor 150psi       pressure sensor of that full scale (bench-board only)
  --settings 20,30psi   a sweep over these settings, in psi, bar or kPa
  --catches N           catches per setting, instead of --fills
  --dial 1.5psi         how well the dial comes back (standard deviation)
  --clicks              the dial clicks: a setting always has the same error
  --rated-flow 0.4gpm   stamped on the tip (gpm or L/min), with --rated-pressure (40psi if not given)
  --reference FLOW:U    what the tip gives when it is sound, at the rated pressure, and its standard uncertainty: 0.4gpm:1%
  --reference-from X    baseline, rated or drawer-tip; needs --reference
  --rig-checks K,K      marks of checks of this rig as they would come out: ${rigCheckKinds.join(',')} or all
${faultUsage.slice(1)}`;

const MOST_FILLS = 2000;
const takesNothing = ['clicks'];
const known = [
  ...['scenario', 'seed', 'fills', 'instrument', 'dialect', 'meter', 'sensor', 'settings', 'catches'],
  ...['dial', 'clicks', 'rated-flow', 'rated-pressure', 'fault', 'reference', 'reference-from', 'rig-checks'],
];
const needSettings = [
  ...['catches', 'dial', 'clicks', 'rated-flow', 'rated-pressure', 'fault'],
  ...['reference', 'reference-from', 'rig-checks'],
];
/** May be given more than once. */
const again = ['fault'];
/** Between the values of what is given more than once; no value has it. */
const AND = '\n';
const RATED_AT = '40psi';

/** What the words after `simulate` ask for. Throws ArgumentError. */
export function readSimulateArguments(argv: readonly string[]): CaptureRequest {
  const given = readOptions(argv);
  const text = (name: string): string | undefined => given.get(name);
  const scenario = text('scenario') ?? 'typical';
  if (!isScenarioName(scenario))
    throw new ArgumentError(`There is no scenario "${scenario}". There are: ${scenarioNames.join(', ')}.`);
  const settings = text('settings');
  if (settings === undefined)
    for (const name of needSettings)
      if (given.has(name)) throw new ArgumentError(`--${name} belongs to a sweep: it needs --settings too.`);
  const settings_Pa = settings === undefined ? [] : readSettings(settings);
  if (given.has('fills') && given.has('catches'))
    throw new ArgumentError('Give --fills (all together) or --catches (per setting), not both.');
  const catches = text('catches');
  const fills =
    catches === undefined
      ? whole(text('fills') ?? (settings ? String(3 * settings_Pa.length) : '10'), 'fills', 1, MOST_FILLS)
      : whole(catches, 'catches', 1, MOST_FILLS) * settings_Pa.length;
  if (fills > MOST_FILLS)
    throw new ArgumentError(
      `That makes ${String(fills)} fills; ${String(MOST_FILLS)} is the most for one capture.`,
    );
  return {
    scenario,
    seed: whole(text('seed') ?? '1', 'seed', 0, Number.MAX_SAFE_INTEGER),
    fills,
    instrument: readInstrument(given),
    ...(settings !== undefined && { sweep: { settings_Pa, ...readTip(given) } }),
  };
}

function readOptions(argv: readonly string[]): Map<string, string> {
  const given = new Map<string, string>();
  for (let i = 0; i < argv.length; i += 1) {
    const word = argv[i] ?? '';
    const [head = '', inline] = word.split(/=(.*)/s);
    const name = head.replace(/^--/, '');
    if (!word.startsWith('--') || !known.includes(name))
      throw new ArgumentError(`"${word}" is not an option of simulate.`);
    if (given.has(name) && !again.includes(name)) throw new ArgumentError(`--${name} is given twice.`);
    if (takesNothing.includes(name)) {
      given.set(name, '');
      continue;
    }
    const value = inline ?? argv[(i += 1)];
    if (value === undefined || value === '' || value.startsWith('--'))
      throw new ArgumentError(`--${name} needs a value after it.`);
    given.set(name, [...(given.has(name) ? [given.get(name)] : []), value].join(AND));
  }
  return given;
}

function readInstrument(given: ReadonlyMap<string, string>): InstrumentOptions {
  const kind = given.get('instrument') ?? 'scale';
  const dialect = given.get('dialect');
  const meter = given.get('meter');
  const sensor = given.get('sensor');
  if (kind === 'scale') {
    if (meter !== undefined || sensor !== undefined)
      throw new ArgumentError('--meter and --sensor belong to --instrument bench-board.');
    if (dialect === undefined) return { kind };
    const found = scaleDialects.find((name) => name === dialect);
    if (!found)
      throw new ArgumentError(`There is no dialect "${dialect}". There are: ${scaleDialects.join(', ')}.`);
    return { kind, dialect: found };
  }
  if (kind !== 'bench-board')
    throw new ArgumentError(`There is no instrument "${kind}". There are: scale, bench-board.`);
  if (dialect !== undefined) throw new ArgumentError('--dialect belongs to --instrument scale.');
  return {
    kind,
    ...(meter !== undefined && { meterPulsesPerCubicMetre: 1000 * positive(meter, 'meter') }),
    ...(sensor !== undefined && { pressureFullScale_Pa: pressure(sensor, 'sensor') }),
  };
}

function readTip(
  given: ReadonlyMap<string, string>,
): Omit<NonNullable<CaptureRequest['sweep']>, 'settings_Pa'> {
  const dial: SimulatedDial = {
    protocol: given.has('clicks') ? 'set-once' : 're-set',
    standardDeviation_Pa: pressure(given.get('dial') ?? '1.5psi', 'dial', 0),
  };
  const flow = given.get('rated-flow');
  const fault = given.get('fault');
  if (flow === undefined && !given.has('reference') && given.has('rated-pressure'))
    throw new ArgumentError('--rated-pressure needs --rated-flow or --reference too.');
  return {
    dial,
    ...(fault !== undefined && { faults: fault.split(AND).map(readFault) }),
    ...readReference(given),
    ...readRigChecks(given),
    ...(flow !== undefined && {
      rated: {
        flow_m3_per_s: readFlow(flow),
        pressure_Pa: pressure(given.get('rated-pressure') ?? RATED_AT, 'rated-pressure'),
      },
    }),
  };
}

const references = ['baseline', 'rated', 'drawer-tip'] as const;

function readReference(
  given: ReadonlyMap<string, string>,
): Pick<NonNullable<CaptureRequest['sweep']>, 'reference'> {
  const text = given.get('reference');
  const named = given.get('reference-from');
  if (text === undefined) {
    if (named !== undefined) throw new ArgumentError('--reference-from needs --reference too.');
    return {};
  }
  const from = references.find((known) => known === named);
  if (named !== undefined && from === undefined)
    throw new ArgumentError(`--reference-from is one of ${references.join(', ')}, not "${named}".`);
  const [flow = '', share = ''] = text.split(/:(.*)/s);
  const at_Pa = pressure(given.get('rated-pressure') ?? RATED_AT, 'rated-pressure');
  return {
    reference: {
      nozzleConstant_m3_per_s_per_sqrtPa: readFlow(flow, 'reference') / Math.sqrt(at_Pa),
      relativeStandardUncertainty: percent(share, '--reference 0.4gpm:1%'),
      ...(from && { from }),
    },
  };
}

function readRigChecks(
  given: ReadonlyMap<string, string>,
): Pick<NonNullable<CaptureRequest['sweep']>, 'rigChecks'> {
  const text = given.get('rig-checks');
  if (text === undefined) return {};
  if (text === 'all') return { rigChecks: rigCheckKinds };
  const rigChecks = text.split(',').map((name): RigCheckKind => {
    const kind = rigCheckKinds.find((known) => known === name);
    if (kind === undefined)
      throw new ArgumentError(
        `There is no check "${name}" of a rig. There are: ${rigCheckKinds.join(', ')}.`,
      );
    return kind;
  });
  return { rigChecks };
}

/** "20,30,40psi": the unit of the last stands for those that name none. */
function readSettings(text: string): number[] {
  const parts = text.split(',');
  const unit = /[A-Za-z]+$/.exec(parts.at(-1) ?? '')?.[0] ?? '';
  const settings_Pa = parts.map((part) => pressure(/[A-Za-z]$/.test(part) ? part : part + unit, 'settings'));
  if (new Set(settings_Pa).size < settings_Pa.length)
    throw new ArgumentError('--settings names a setting twice; use --catches for repeats.');
  return settings_Pa;
}

function positive(text: string, option: string): number {
  const value = /^\d+(?:\.\d+)?$/.test(text) ? Number(text) : NaN;
  if (!(value > 0) || value > 1e6)
    throw new ArgumentError(`--${option} needs a positive number, not "${text}".`);
  return value;
}

function whole(text: string, option: string, lowest: number, highest: number): number {
  const value = /^\d+$/.test(text) ? Number(text) : NaN;
  if (!(value >= lowest && value <= highest))
    throw new ArgumentError(
      `--${option} needs a whole number from ${String(lowest)} to ${String(highest)}, not "${text}".`,
    );
  return value;
}
