import { BAR_PA, PSI_PA } from '../base/units/constants.ts';
import { flowUnits } from '../base/units/flow.ts';
import { lengthUnits } from '../base/units/length-area-speed.ts';

/** A wrong argument, in plain words for standard error. */
export class ArgumentError extends Error {}

const pressureUnit_Pa: Readonly<Record<string, number>> = { psi: PSI_PA, bar: BAR_PA, kPa: 1000 };

/** "40psi", "2.5 bar", "300kPa": Pa. */
export function pressure(text: string, option: string, lowest = Number.MIN_VALUE): number {
  const found = /^(\d+(?:\.\d+)?) ?(psi|bar|kPa)$/.exec(text.trim());
  const value_Pa = Number(found?.[1]) * (pressureUnit_Pa[found?.[2] ?? ''] ?? NaN);
  if (!(value_Pa >= lowest) || value_Pa > 1e7)
    throw new ArgumentError(
      `"${text}" is no pressure for --${option}: give a number and psi, bar or kPa, such as 40psi.`,
    );
  return value_Pa;
}

/** "0.4gpm", "1.5L/min": m³/s. */
export function readFlow(text: string, option = 'rated-flow'): number {
  const found = /^(\d+(?:\.\d+)?) ?(gpm|gal\/min|L\/min)$/.exec(text.trim());
  const units = flowUnits[found?.[2] === 'L/min' ? 'L_per_min' : 'gal_per_min'];
  const value = units.toSi(Number(found?.[1]));
  if (!(value > 0) || value > 1e-3)
    throw new ArgumentError(
      `"${text}" is no flow for --${option}: give a number and gpm or L/min, such as 0.4gpm.`,
    );
  return value;
}

/** "300ft", "0.5in", "-2m", "13mm": m. */
export function length_m(text: string): number {
  const found = /^(-?\d+(?:\.\d+)?) ?(ft|in|m|cm|mm)$/.exec(text.trim());
  const unit = found?.[2];
  const value = Number(found?.[1]);
  const metres =
    unit === 'mm' ? value / 1000 : lengthUnits[(unit ?? 'm') as keyof typeof lengthUnits].toSi(value);
  if (!found || Math.abs(metres) > 1e4)
    throw new ArgumentError(`"${text}" is no length: give a number and ft, in, m, cm or mm, such as 300ft.`);
  return metres;
}

/** "10%": 0.1; above 0, below 100 %. */
export function percent(text: string, example = 'worn:10%'): number {
  const found = /^(\d+(?:\.\d+)?)%$/.exec(text);
  const share = Number(found?.[1]) / 100;
  if (!found || share <= 0 || share >= 1)
    throw new ArgumentError(`"${text}" is no share: give percent between 0 and 100, such as ${example}.`);
  return share;
}
