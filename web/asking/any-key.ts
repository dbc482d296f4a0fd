/**
 * Space bar or foot switch: which key press means "the next sensible thing". A foot switch may send any key, so any counts, but
 * only while focus is on the page itself (its words too), on the large button or on a radio that is chosen already (there no key
 * but the arrows does anything), and never one that moves about, leaves, or goes with a modifier.
 */
const NEVER = new Set([
  'Tab',
  'Enter',
  'Escape',
  'ArrowUp',
  'ArrowDown',
  'ArrowLeft',
  'ArrowRight',
  'Shift',
  'Control',
  'Alt',
  'AltGraph',
  'Meta',
  'CapsLock',
  'NumLock',
  'ContextMenu',
  'F5',
  'F6',
  'F11',
  'F12',
  'Unidentified',
  'Dead',
  'Process',
]);

export const MAIN_ACTION = 'mainAction';

export function meansNextThing(event: KeyboardEvent): boolean {
  if (event.defaultPrevented || event.repeat || event.isComposing) return false;
  if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return false;
  if (NEVER.has(event.key)) return false;
  const { target } = event;
  if (!(target instanceof HTMLElement)) return true;
  if (target === target.ownerDocument.body || target === target.ownerDocument.documentElement) return true;
  if (MAIN_ACTION in target.dataset) return true;
  if (target instanceof HTMLInputElement) return target.type === 'radio' && target.checked;
  // A heading or sentence that only the page can put the focus on.
  return target.matches('h1[tabindex="-1"], h2[tabindex="-1"], p[tabindex="-1"]');
}

/**
 * Listens on the whole page. On the large button itself the space bar would press it a second time on release: that is held back.
 * @returns how to stop listening.
 */
export function onNextThing(view: Window, act: (event: KeyboardEvent) => void): () => void {
  let held: string | null = null;
  const down = (event: KeyboardEvent): void => {
    if (!meansNextThing(event)) return;
    event.preventDefault();
    held = event.key;
    act(event);
  };
  const up = (event: KeyboardEvent): void => {
    if (event.key !== held) return;
    held = null;
    event.preventDefault();
  };
  view.addEventListener('keydown', down);
  view.addEventListener('keyup', up);
  return () => {
    view.removeEventListener('keydown', down);
    view.removeEventListener('keyup', up);
  };
}
