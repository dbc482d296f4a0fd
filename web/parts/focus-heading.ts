/** Puts the focus on a new screen's heading, so that a keyboard or a screen reader goes on from there. The heading needs tabindex -1. */
export function focusHeading(heading: HTMLElement): void {
  heading.focus({ preventScroll: true });
}
