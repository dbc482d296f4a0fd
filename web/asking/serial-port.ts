/** The page's side of a serial port: only a page may ask for one. The worker then finds it in its own `getPorts()` by this index. */
import type { Outcome } from '../contract.ts';

type AnyNavigator = Pick<Navigator, 'userAgent'> | Navigator;

/** `navigator.serial` where there is one. The types say it is always there; it is not. */
export function serialOf(navigator: AnyNavigator): Serial | null {
  return 'serial' in navigator ? navigator.serial : null;
}

/**
 * Shows the browser's list of instruments.
 * @returns the index of the picked port in `getPorts()`; refused `no-serial-here`, `no-port-picked`, `permission-refused`, `port-busy-or-gone`.
 */
export async function askForPort(navigator: AnyNavigator): Promise<Outcome<number>> {
  const serial = serialOf(navigator);
  if (serial === null) return { ok: false, because: 'no-serial-here' };
  try {
    const port = await serial.requestPort();
    const portIndex = (await serial.getPorts()).indexOf(port);
    return portIndex < 0 ? { ok: false, because: 'port-busy-or-gone' } : { ok: true, value: portIndex };
  } catch (error) {
    const name = error instanceof Object && 'name' in error ? error.name : '';
    return { ok: false, because: name === 'NotFoundError' ? 'no-port-picked' : 'permission-refused' };
  }
}
