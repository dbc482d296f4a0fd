/** What lies between the gauge and the tip: the words of its fields. */
export const plumbingWords = {
  why: 'Pressure is lost on the way. Told here, the loss is estimated; left empty, it can’t be told from a restricted tip. Nothing here has to be filled in.',
  gaugeAt: 'The gauge sits',
  gaugeNotTold: 'not told',
  gaugePump: 'at the pump',
  gaugeWand: 'at the wand',
  hoseLength: 'Hose from gauge to wand',
  hoseBore: 'Inside of the hose',
  hoseBoreHint: 'The bore, printed on most hoses. In inches also as 3/8 or 1/2.',
  boreAsk: (flow: string, length: string, bore: string) =>
    `At ${flow}, ${length} of ${bore} hose would lose all of the pressure or more. Are bore and length right?`,
  tipHeight: 'The tip is higher than the gauge by',
  tipHeightHint: 'Lower: with a minus.',
  rating: 'The weakest part is rated for',
  ratingHint:
    'Hose, wand, tip holder or tank, whichever is least. No setting above it is taken, and a blank tip is tested only below it.',
} as const;
