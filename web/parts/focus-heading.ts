/**
 * A new screen begins at its top, with the focus on its heading, so that eye, keyboard and screen reader go on from there. The
 * heading needs tabindex -1.
 */
export function focusHeading(heading: HTMLElement): void {
  heading.focus({ preventScroll: true });
  toTop(heading);
}

/** The same for a screen whose heading changes with every instruction: the focus goes to its large button, marked `data-main-action`. */
export function focusMainAction(screen: HTMLElement): void {
  screen.querySelector<HTMLElement>('[data-main-action]')?.focus({ preventScroll: true });
  toTop(screen);
}

/** Words that ask for something: focus on them, so that the answers are the next thing a Tab away. */
export function focusWords(words: HTMLElement): void {
  words.focus();
}

function toTop({ ownerDocument }: HTMLElement): void {
  ownerDocument.defaultView?.scrollTo(0, 0);
}
