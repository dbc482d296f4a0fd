import type { SerialRequest } from '../contract.ts';
import { fieldErrors } from '../wording/fields.ts';
import { typedNumber } from '../wording/typed-number.ts';
import type { ShownUnits } from '../wording/units.ts';

export const baudRates = [1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200] as const;
const DEFAULT_BAUD = { scale: 9600, 'bench-board': 115200 } as const;

type Optional = { readonly value: number | null; readonly error: string | undefined };

function optionalAboveZero(text: string): Optional {
  if (text.trim() === '') return { value: null, error: undefined };
  const typed = typedNumber(text);
  if (typed === null) return { value: null, error: fieldErrors.notANumber };
  return typed > 0 ? { value: typed, error: undefined } : { value: null, error: fieldErrors.aboveZero };
}

function needed(text: string): Optional {
  return text.trim() === '' ? { value: null, error: fieldErrors.empty } : optionalAboveZero(text);
}

function optionalWhole(text: string): Optional {
  const checked = optionalAboveZero(text);
  return checked.value !== null && (!Number.isInteger(checked.value) || checked.value > 100)
    ? { value: null, error: fieldErrors.wholeBetween(1, 100) }
    : checked;
}

/** What has to be known of an instrument before its line is opened. */
export class InstrumentForm {
  kind = $state<SerialRequest['kind']>('scale');
  baud = $state<number>(DEFAULT_BAUD.scale);
  bareUnit = $state<NonNullable<SerialRequest['bareUnit']> | 'none'>('none');
  averaged = $state('');
  gramsPerCount = $state('');
  pulsesPerLitre = $state('');
  pressureFullScale = $state('');
  readonly averagedChecked = $derived(optionalWhole(this.averaged));
  readonly pulsesChecked = $derived(optionalAboveZero(this.pulsesPerLitre));
  /** A board without a load cell is heard by its meter. */
  readonly gramsChecked = $derived(
    this.pulsesChecked.value === null ? needed(this.gramsPerCount) : optionalAboveZero(this.gramsPerCount),
  );
  readonly pressureChecked = $derived(optionalAboveZero(this.pressureFullScale));

  chooseKind(kind: SerialRequest['kind']): void {
    this.kind = kind;
    this.baud = DEFAULT_BAUD[kind];
  }

  /** @returns what the worker needs beside the port, or null while something is not right. */
  requestIn({ pressure }: Pick<ShownUnits, 'pressure'>): Omit<SerialRequest, 'portIndex'> | null {
    const board = this.kind === 'bench-board';
    const checks = board
      ? [this.averagedChecked, this.gramsChecked, this.pulsesChecked, this.pressureChecked]
      : [this.averagedChecked];
    if (checks.some(({ error }) => error !== undefined)) return null;
    return {
      kind: this.kind,
      baudRate: this.baud,
      bareUnit: board || this.bareUnit === 'none' ? null : this.bareUnit,
      averagedReadings: this.averagedChecked.value,
      gramsPerCount: board ? this.gramsChecked.value : null,
      pulsesPerLitre: board ? this.pulsesChecked.value : null,
      ...(board && this.pressureChecked.value !== null
        ? { pressureFullScale_Pa: pressure.toSI(this.pressureChecked.value) }
        : {}),
    };
  }
}
