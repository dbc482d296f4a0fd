/** Faults that can be switched on at the simulated bench, as they are chosen. */
import type { SimulatedFault } from '../contract.ts';

export const faultChoice = 'A fault to find';

export const faultNames: Readonly<Record<SimulatedFault, string>> = {
  none: 'none',
  drawn: 'drawn: told at the end',
  worn: 'worn tip',
  restricted: 'blocked tip',
  leaking: 'leak',
  'pump-limited': 'weak pump',
  'dial-high': 'dial high',
  'dial-low': 'dial low',
  'dial-gain': 'dial stretched',
  'check-valve': 'check valve',
  'battery-sag': 'fading battery',
  'hose-loss': 'long thin hose',
};
