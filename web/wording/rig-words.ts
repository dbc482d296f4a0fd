/** Fixed texts about kinds of rig and the sprayer on the scale: set-up, tables, leak or mist. */
export const rigWords = {
  kind: 'What drives the water',
  kinds: {
    held: 'Pressure held by pump or regulator',
    'pumped-while-spraying': 'Pumped by hand while spraying',
    'pumped-up': 'Pumped up, then falling',
    'hose-reel': 'Hose reel',
  },
  kindHints: {
    held: '',
    'pumped-while-spraying':
      'You pump to a beat that is played; at least twenty strokes a catch. The result is the flow at that rhythm.',
    'pumped-up':
      'Pump up before each catch. The flow falls while it runs, so each catch is told at its start, middle and end; a curve needs a pressure sensor.',
    'hose-reel':
      'A long hose swells first. Each catch runs until the flow is steady, which takes up to a minute or two.',
  },
  beat: 'Time between two strokes',
  beatHint: 'A pace you can keep up for a minute.',
  onScale: 'On the scale stands',
  onScalePail: 'the pail',
  onScaleSprayer: 'the whole sprayer',
  onScaleHint:
    'It loses what it sprays, so nothing has to be caught: for mist, booms and tips that can’t be aimed. Let the hose hang free, wand in a guide or in a steady hand, and spray clear of the scale.',
  tank: 'The tank is filled with',
  tankHint: 'Fill it to this mark before you begin, and at each refill.',

  fallingCaption: 'How the flow falls in each catch',
  since: 'After',
  given: 'Water out',
  whenStart: 'start',
  whenMiddle: 'middle',
  whenEnd: 'end',
  when: 'Where',
  strokesCaption: 'Strokes of the pump in each catch',
  strokes: 'Strokes',
  rhythm: 'One every',
  scatter: 'A stroke differs by',
  hoseCaption: 'The hose in each catch',
  steady: 'Steady after',
  never: 'not steady',
  compareTitle: 'Leak or mist',
  compareLead:
    'Water that leaves the sprayer and does not reach the pail. It takes two sweeps of the same tip at the same settings: one into the pail, one with the sprayer on the scale or by a flow meter.',
  compare: 'Compare with the other way',
  leaves: 'Leaves the sprayer',
  reaches: 'Reaches the pail',
} as const;
