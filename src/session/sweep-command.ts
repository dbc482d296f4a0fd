import type { WithdrawnReason } from '../base/because.ts';
import type { Announcement } from './prompt.ts';

/** What a sweep asks of whoever runs it. The sweep itself speaks to nobody and stores nothing. */
export type SweepCommand =
  /** Say it: tone, caption, live region, voice. */
  | { readonly kind: 'announce'; readonly announcement: Announcement; readonly at_s: number }
  /** Append this text (whole lines) to the sweep's capture. */
  | { readonly kind: 'keep-text'; readonly text: string }
  /** A catch was closed and analysed: keep its summary and its readings. */
  | { readonly kind: 'catch-closed'; readonly index: number }
  /** A catch kept earlier was not water after all. */
  | { readonly kind: 'catch-withdrawn'; readonly start_s: number; readonly because: WithdrawnReason }
  /** Every planned catch is there; the result can be kept as it was shown. */
  | { readonly kind: 'finished' };
