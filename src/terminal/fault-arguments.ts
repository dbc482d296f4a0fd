import type { RigFault } from '../simulation/rig-fault.ts';
import { ArgumentError, length_m, percent, pressure } from './quantity-arguments.ts';

/** Lines of the help, one fault each: what it is called and how its size is given. */
export const faultUsage = `
  --fault KIND:SIZE     what is wrong with tip or rig; give it again for another at the same time:
      worn:10%              the orifice gives so much more      restricted:20%    … or less
      leaking:5%            water beside the tip, share of its flow at 40 psi, as pressure to 1.25; leaking:5%:0.5 another
                            exponent from 0.5 to 1.5; leaking:5%:1.25:45psi nothing below 45 psi
      check-valve:8psi      opens there, and the tip feels only what is above
      pump-limited:45psi    the pump gives no more
      dial-high:4psi        the dial shows more than there is    dial-low:4psi     … or less
      dial-gain:8%          the dial shows 8 % more than there is; dial-gain:-8% less
      sag:3%                the pressure falls by this over the sweep; sag:0.5%/min in each minute of water
      hose:300ft:0.5in      smooth hose between gauge and tip, length and bore; hose:300ft:0.5in:2m the tip 2 m above the gauge
      loss:6psi             pressure lost before the tip at its flow at 40 psi, as the square of the flow
`;

const names = [
  ...['worn', 'restricted', 'leaking (in %)', 'check-valve', 'pump-limited', 'dial-high'],
  ...['dial-low', 'loss (a pressure)', 'dial-gain', 'sag (in %)', 'hose (length and bore)'],
];

/** One fault as it is typed. Throws ArgumentError. */
export function readFault(text: string): RigFault {
  const [kind = '', size = '', ...more] = text.split(':');
  const takes = kind === 'leaking' ? 2 : kind === 'hose' ? 2 : 0;
  if (more.length > takes) throw new ArgumentError(`"${text}" says more than this fault can have.`);
  switch (kind) {
    case 'worn':
    case 'restricted':
      return { kind, share: percent(size, `${kind}:10%`) };
    case 'leaking':
      return {
        kind,
        share: percent(size, 'leaking:5%'),
        ...(more[0] !== undefined && { exponent: exponent(more[0]) }),
        ...(more[1] !== undefined && { opensAt_Pa: pressure(more[1], 'fault') }),
      };
    case 'pump-limited':
      return { kind, pressure_Pa: pressure(size, 'fault') };
    case 'check-valve':
      return { kind, opensAt_Pa: pressure(size, 'fault') };
    case 'dial-high':
      return { kind, offset_Pa: pressure(size, 'fault') };
    case 'dial-low':
      return { kind: 'dial-high', offset_Pa: -pressure(size, 'fault') };
    case 'dial-gain': {
      const isLess = size.startsWith('-');
      const share = percent(isLess ? size.slice(1) : size, 'dial-gain:8%');
      return { kind, share: isLess ? -share : share };
    }
    case 'sag':
      return size.endsWith('/min')
        ? {
            kind: 'battery-sag',
            share: percent(size.slice(0, -'/min'.length), 'sag:0.5%/min'),
            per: 'minute',
          }
        : { kind: 'battery-sag', share: percent(size, 'sag:3%'), per: 'sweep' };
    case 'hose':
      return hose(text, size, more);
    case 'loss':
      return { kind: 'pressure-loss', lost_Pa: pressure(size, 'fault') };
    default:
      throw new ArgumentError(`There is no fault "${kind}". There are: ${names.join(', ')}.`);
  }
}

function hose(text: string, size: string, [bore, height]: readonly string[]): RigFault {
  const metres = length_m(size);
  const bore_m = length_m(bore ?? '');
  if (!(metres > 0 && bore_m > 0 && bore_m < 1))
    throw new ArgumentError(`"${text}" is no hose: give its length and its bore, such as hose:300ft:0.5in.`);
  return {
    kind: 'hose-loss',
    length_m: metres,
    bore_m,
    ...(height !== undefined && { tipAboveGauge_m: length_m(height) }),
  };
}

function exponent(text: string): number {
  const value = /^\d(?:\.\d+)?$/.test(text) ? Number(text) : NaN;
  if (!(value >= 0.5 && value <= 1.5))
    throw new ArgumentError(`"${text}" is no exponent of a leak: give 0.5 to 1.5, such as leaking:5%:0.5.`);
  return value;
}
