import type { PlanInMind } from './plan-form';
import type { Account } from './staff-browser';
import type { Character } from './virtual-listener';

/** A scenario of our own. Maker, prototypes, people and answers are invented. */

export const seed = 'Morgenfink 4';
export const maker = 'Morgenfink';
export const lead: Account = { name: 'Demo lead', password: 'an invented password' };
export const preparer: Account = { name: 'Demo preparer', password: 'another invented password' };
export const passphrase = 'three finches on a wire';

const asSold = 'Fink 3 as sold';
const wideVent = 'Fink 3 wide vent';
const softDamper = 'Fink 3 soft damper';
export const prototypes = [asSold, wideVent, softDamper];

/** Eight in each audience: fewer could not show a preference in two audiences at α = 0.05, even of one mind. */
export const plan: PlanInMind = {
  title: 'Fink 3 vent and damper (invented)',
  question: `Which Fink 3 do listeners of ${maker}, an invented maker, prefer?`,
  prototypes: [
    { name: asSold, units: [{ serial: 'MF3-0117' }] },
    { name: wideVent, units: [{ serial: 'MF3-V02' }, { serial: 'MF3-V05', note: 'second shell' }] },
    { name: softDamper, units: [{ serial: 'MF3-D01' }] },
  ],
  audiences: [
    { name: 'Stage', listeners: 8 },
    { name: 'Home', listeners: 8 },
  ],
  turns: 3,
  handling: 'two-person',
  playback: 'bench-player',
  tips: 'own-tips',
  noPreference: 'split',
  primary: [wideVent, asSold],
};

const remarks: Record<'Stage' | 'Home', Record<string, string[]>> = {
  Stage: {
    [asSold]: ['Kick stays tight', 'Holds the low end when I move', 'Solid, a little loud in the middle'],
    [wideVent]: ['Loses the kick', 'The room leaks in', 'Thin once the drums start'],
    [softDamper]: ['Cymbals are calmer', 'A bit dark for monitoring', 'I would get used to this one'],
  },
  Home: {
    [asSold]: ['Pressure in the ears', 'Closed in', 'Punchy, then tiring'],
    [wideVent]: ['Airy, easy to listen to', 'Voices stand free', 'Like sitting further back'],
    [softDamper]: ['Smooth', 'Strings lose some bite', 'Pleasant, nothing sticks out'],
  },
};

const aliases = {
  Stage: ['Snare', 'Fretless', 'Slide', 'Reed', 'Mute', 'Capo', 'Pick', 'Ride'],
  Home: ['Sofa', 'Lamp', 'Kettle', 'Window', 'Rug', 'Shelf', 'Teapot', 'Blanket'],
};

/** Stage and home want opposite things of the wide vent; the soft damper is liked a little by both. */
const worth = {
  Stage: { [asSold]: 1.4, [wideVent]: -1.6, [softDamper]: 0.6 },
  Home: { [asSold]: -1.4, [wideVent]: 1.6, [softDamper]: 0.4 },
};

export const characters: Character[] = (['Stage', 'Home'] as const).flatMap((audience) =>
  aliases[audience].map((alias, index) => ({
    alias,
    audience,
    truth: { worth: worth[audience], gamma: 0.1, noneRate: 0.06 },
    remarks: remarks[audience],
    fussy: index === 3,
    // One listener has to go, before the last turn.
    ...(alias === 'Blanket' ? { leavesAfter: 2 } : {}),
  })),
);
