import type { PortLike } from './port-like.ts';

/**
 * Which of the ports that are there now may be the one that was lost, best first: itself, then the only one of its kind that
 * came since. One that was there before the loss is another device, and of two newcomers of one make nobody can tell which it
 * is: a reading of the wrong pail is worse than none.
 */
export function sameDevice(
  lost: PortLike,
  now: readonly PortLike[],
  before: readonly PortLike[],
): readonly PortLike[] {
  const { usbVendorId, usbProductId } = lost.getInfo();
  const newcomers = now.filter((port) => {
    const info = port.getInfo();
    return !before.includes(port) && info.usbVendorId === usbVendorId && info.usbProductId === usbProductId;
  });
  return [...now.filter((port) => port === lost), ...(newcomers.length === 1 ? newcomers : [])];
}
