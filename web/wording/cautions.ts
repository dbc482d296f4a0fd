/** What can hurt someone. The short line stands on every screen where water runs; the full list in the set-up and the result. */

export const cautionLine =
  'Clean water only. Pressure off before a tip is changed. Never above the rating of the weakest part.';

export const cautionList: readonly string[] = [
  'The product label is the law. This tool never invents a label rate.',
  'Clean water only, in a clean sprayer: no product in tank or hose. Bubbles from the jet settle within a minute; foam that stays means product: stop and rinse.',
  'What a used sprayer gives is rinse water, and rinse water is not drain water. Wear what the label says.',
  'Never above the pressure rating of the weakest part: hose, wand, tip holder or tank.',
  'Before a tip is changed: pump off, trigger open, pressure at zero.',
  'Never block a pump that has no bypass or pressure switch.',
  'Beside the pail battery power only, no mains charger.',
  'A full pail weighs 20 kg (44 lb): empty it early. Keep an air gap when you fill the tank.',
  'This is not a legal-for-trade instrument, and its page is not an inspection under any sprayer-testing standard.',
];

/** Beside the list, where the rig asks for it. */
export const rigCautions: Readonly<
  Record<'pumped-up' | 'pumped-while-spraying' | 'hose-reel' | 'on-scale', readonly string[]>
> = {
  'pumped-up': [
    'A pumped-up can is a pressure vessel: never above its rating, and release the pressure before it is opened, refilled or carried.',
  ],
  'pumped-while-spraying': [
    'Stop pumping when the lever grows hard: never above the rating of the weakest part.',
  ],
  'hose-reel': [
    'A long hose holds litres of what was sprayed last: run it with clean water until nothing else can be in it, where that may go.',
  ],
  'on-scale': [
    'A full sprayer on a scale can fall: a wide, level platform, hose and wand where nobody trips over them. Release the pressure before the tank is opened for a refill.',
  ],
};
