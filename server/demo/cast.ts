import type { Truth } from '../../protocols/protocol';
import type { Role } from '../../shared/roles';
import { seededRandom } from '../../stats/seeded-random';
import type { PlanInMind } from './plan-form';
import { type Curve, responseOf, usualCurve } from './responses';
import type { Account, Measuring } from './staff-browser';
import type { Scene } from './virtual-listener';

/** A scenario of our own. Maker, prototypes, people and answers are invented. */

export const seed = 'Morgenfink 9';
export const maker = 'Morgenfink';
export const notice = `This is a demo: ${maker}, its prototypes, its people and all answers are invented.`;
/** Plans and unseals; whoever visits the demo signs in as this one. */
export const lead: Account = { name: 'Demo lead', password: 'an invented password' };
export const operator: Account = { name: 'Demo desk', password: 'a second invented password' };
export const preparer: Account = { name: 'Demo preparer', password: 'a third invented password' };
/** Has neither planned nor run what it signs. */
export const approver: Account = { name: 'Demo approver', password: 'a fourth invented password' };
export const passphrase = 'three finches on a wire';

const asSold = 'Fink 3 as sold';
const wideVent = 'Fink 3 wide vent';
const softDamper = 'Fink 3 soft damper';
/** Shown beside them, to see where they lie. */
const longNozzle = 'Fink 3 long nozzle';
const denseFoam = 'Fink 3 dense foam';
/** What they are versions of: its studies stand together. */
export const product = 'Fink 3';
export const prototypes = [asSold, wideVent, softDamper];

const units = {
  [asSold]: [{ serial: 'MF3-0117' }, { serial: 'MF3-0122' }, { serial: 'MF3-0131' }],
  [wideVent]: [{ serial: 'MF3-V02' }, { serial: 'MF3-V03' }, { serial: 'MF3-V05', note: 'second shell' }],
  [softDamper]: [{ serial: 'MF3-D01' }, { serial: 'MF3-D02' }, { serial: 'MF3-D04' }],
  [longNozzle]: [{ serial: 'MF3-N01' }],
  [denseFoam]: [{ serial: 'MF3-F01' }],
};
const eight = (serial: string) => Array.from({ length: 8 }, (_, i) => ({ serial: `${serial}${i + 1}` }));
const sample = (name: keyof typeof units) => ({ name, units: units[name] });

export type AudienceName = 'Stage' | 'Home';
const stageAndHome = [
  { name: 'Stage', listeners: 6 },
  { name: 'Home', listeners: 4 },
];

/** What each would cost, beside what is sold today. */
const prices = {
  [asSold]: { rank: 1, words: 'today’s price' },
  [softDamper]: { rank: 2, words: '20 euros more' },
  [wideVent]: { rank: 3, words: '50 euros more' },
};
const priced = (name: keyof typeof prices) => ({ ...sample(name), price: prices[name] });

/** Not built yet: what listeners hear is what each would make of a piece. From this frequency up, in Hz, another driver plays. */
export const crossovers = [
  { name: 'Fink 5 low crossover', from: 1_200 },
  { name: 'Fink 5 high crossover', from: 3_200 },
];

/** As the ratings have it: a wide vent lets bass out, a damper takes from the peak, foam more, a nozzle lifts it. */
const curves: Record<string, Curve> = {
  [wideVent]: { ...usualCurve, bass: -1.5 },
  [softDamper]: { ...usualCurve, peak: 5.5 },
  [longNozzle]: { ...usualCurve, peak: 12 },
  [denseFoam]: { bass: 6, peak: 4 },
};

/** What is done with every unit before its plan is locked. Nobody hears how units of one prototype differ. */
export const measuring: Measuring = {
  device: 'Coupler and meter, invented',
  method: '1 kHz at one drive, each unit put in anew twice',
  ears(serial) {
    const random = seededRandom(`level of ${serial}`);
    const ear = () => 94 + 0.16 * (random.uniform() - 0.5);
    return [ear(), ear()];
  },
  response(serial) {
    const prototype = Object.entries(units).find(([, own]) => own.some((unit) => unit.serial === serial))?.[0];
    return prototype === undefined ? null : responseOf(curves[prototype] ?? usualCurve, serial);
  },
};

const shared = {
  handling: 'two-person',
  playback: 'bench-player',
  tips: 'own-tips',
} as const;

/** Which of the plans a page of the demo, or a record, is about. */
export const studyNames = ['first-impressions', 'profile', 'abx', 'preference'] as const;
export type StudyName = (typeof studyNames)[number];

export const plans: Record<StudyName | 'running' | 'asking' | 'renders' | 'draft', PlanInMind> = {
  'first-impressions': {
    ...shared,
    method: 'first-impressions',
    title: 'Fink 3, four weeks of first impressions (invented)',
    question: `How do listeners of ${maker}, an invented maker, take to three Fink 3, and does it last?`,
    product,
    prototypes: [priced(asSold), priced(wideVent), priced(softDamper)],
    audiences: stageAndHome,
    // They want opposite things, so that it is refused.
    pooling: 'if-alike',
    scales: ['liking', 'brightness', 'bass'],
    hiddenRepeats: 1,
    primary: [wideVent, asSold],
    primaryScale: 'liking',
    sessions: 4,
    gapHours: 18,
    spanDays: 35,
  },
  profile: {
    ...shared,
    method: 'attribute-profile',
    title: 'Fink 3, what five of them are like (invented)',
    question: `What are five Fink 3 like to listeners of ${maker}, an invented maker, and who likes which?`,
    product,
    // One unit each: this is about these five.
    prototypes: ([asSold, wideVent, softDamper, longNozzle, denseFoam] as const).map((name) => ({
      name,
      units: units[name].slice(0, 1),
    })),
    audiences: [{ name: 'Panel', listeners: 8 }],
    scales: ['liking', 'brightness', 'bass', 'stage-width'],
    primary: [longNozzle, asSold],
    primaryScale: 'brightness',
    sessions: 1,
  },
  abx: {
    ...shared,
    method: 'abx',
    title: 'Fink 3, is the damper heard? (invented)',
    question: `Can a panel of ${maker}, an invented maker, hear the soft damper?`,
    product,
    prototypes: [sample(asSold), sample(softDamper)],
    audiences: [{ name: 'Panel', listeners: 6 }],
    trials: 6,
    sessions: 2,
    gapHours: 18,
    spanDays: 21,
  },
  preference: {
    ...shared,
    method: 'paired-preference',
    title: 'Fink 3, which one? (invented)',
    question: `Which Fink 3 do listeners of ${maker}, an invented maker, prefer?`,
    product,
    prototypes: [sample(asSold), sample(wideVent), sample(softDamper)],
    audiences: [{ name: 'Panel', listeners: 10 }],
    turns: 6,
    noPreference: 'split',
    primary: [softDamper, asSold],
    closingQuestion: ['The one we sell', 'The one with a wide vent', 'The one with a soft damper'],
  },
  running: {
    ...shared,
    method: 'first-impressions',
    title: 'Fink 4, first look (invented)',
    question: `How do listeners of ${maker}, an invented maker, take to the Fink 4?`,
    prototypes: [
      { name: 'Fink 4 open shell', units: eight('MF4-A') },
      { name: 'Fink 4 closed shell', units: eight('MF4-B') },
    ],
    // One audience, and a unit for everybody: nobody is kept from a sample by somebody who stands still.
    audiences: [{ name: 'Panel', listeners: 8 }],
    scales: ['liking', 'stage-width', 'comfort'],
    hiddenRepeats: 1,
    primary: ['Fink 4 open shell', 'Fink 4 closed shell'],
    primaryScale: 'liking',
    sessions: 3,
    gapHours: 18,
    spanDays: 28,
  },
  asking: {
    ...shared,
    method: 'paired-preference',
    title: 'Fink 4, two cables (invented)',
    question: `Which cable do listeners of ${maker}, an invented maker, prefer?`,
    prototypes: [
      { name: 'Fink 4 braided', units: [{ serial: 'MF4-C1' }] },
      { name: 'Fink 4 flat', units: [{ serial: 'MF4-C2' }] },
    ],
    audiences: [{ name: 'Home', listeners: 4 }],
    turns: 4,
    primary: ['Fink 4 braided', 'Fink 4 flat'],
  },
  renders: {
    method: 'abx',
    title: 'Fink 5, two crossovers (invented)',
    question: `Can listeners of ${maker}, an invented maker, hear where the Fink 5 hands over, before one is built?`,
    prototypes: crossovers.map(({ name }) => ({ name, units: [] })),
    audiences: [{ name: 'Panel', listeners: 6 }],
    handling: 'server',
    playback: 'renders',
    excerpts: ['Strings and brushes'],
    tips: 'own-tips',
    trials: 6,
    sessions: 2,
    gapHours: 18,
    spanDays: 21,
  },
  draft: {
    ...shared,
    method: 'abx',
    title: 'Fink 4, two shells (invented)',
    question: `Can listeners of ${maker}, an invented maker, hear the shell of the Fink 4?`,
    prototypes: [
      { name: 'Fink 4 resin', units: [{ serial: 'MF4-R1' }] },
      { name: 'Fink 4 wood', units: [{ serial: 'MF4-W1' }] },
    ],
    audiences: [{ name: 'Panel', listeners: 6 }],
    trials: 6,
    sessions: 2,
    gapHours: 18,
    spanDays: 21,
  },
};

/**
 * Points from the middle of each scale. Stage and home want opposite things of the wide vent, so plainly that one
 * listener who guesses among six hides it under no draw of the hidden repeats.
 */
const ratings: Record<AudienceName, Truth['ratings']> = {
  Stage: {
    liking: { [asSold]: 1.4, [wideVent]: -2.2, [softDamper]: 1, [longNozzle]: -0.4, [denseFoam]: 1.6 },
    brightness: { [asSold]: 0.4, [wideVent]: 1.2, [softDamper]: -1, [longNozzle]: 2.2, [denseFoam]: -1.8 },
    bass: { [asSold]: 1, [wideVent]: -1.6, [softDamper]: 0.7, [longNozzle]: 0.4, [denseFoam]: 1.8 },
    'stage-width': { [asSold]: -0.2, [wideVent]: 1.8, [softDamper]: -0.4, [longNozzle]: 0.8, [denseFoam]: -1.6 },
  },
  Home: {
    liking: { [asSold]: -1.2, [wideVent]: 1.8, [softDamper]: 0.7, [longNozzle]: 0.9, [denseFoam]: -1.8 },
    brightness: { [asSold]: 0.2, [wideVent]: 1.1, [softDamper]: -0.9, [longNozzle]: 2, [denseFoam]: -1.9 },
    bass: { [asSold]: 1.2, [wideVent]: -1.4, [softDamper]: 0.8, [longNozzle]: 0.5, [denseFoam]: 1.9 },
    'stage-width': { [asSold]: -0.4, [wideVent]: 1.9, [softDamper]: -0.2, [longNozzle]: 0.6, [denseFoam]: -1.7 },
  },
};

/** The soft damper is liked by both. */
const worth: Record<AudienceName, Truth['worth']> = {
  Stage: { [asSold]: -0.6, [wideVent]: -1.8, [softDamper]: 2.4 },
  Home: { [asSold]: -1.6, [wideVent]: 1.2, [softDamper]: 1.4 },
};

const noise = { listenerSd: 0.5, interactionSd: 0.35, sessionSd: 0.25, residualSd: 0.7 };

/** What a listener of an audience hears and likes, whatever the study. */
export const truthOf = (audience: AudienceName, drift = 0): Truth => ({
  ratings: ratings[audience] ?? {},
  ...noise,
  driftPerSession: drift,
  worth: worth[audience] ?? {},
  gamma: 0.1,
  noneRate: 0.06,
  listenersWhoHear: 1,
  heard: 0.6,
});

const remarks: Record<AudienceName, Record<string, string[]>> = {
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

export interface Person {
  alias: string;
  audience: AudienceName;
  remarks: Record<string, string[]>;
  /** Points by which everything goes up from session to session. */
  drift: number;
  /** Answers anything. */
  guesses: boolean;
  fussy: boolean;
}

const aliases: Record<AudienceName, string[]> = {
  Stage: ['Snare', 'Fretless', 'Slide', 'Reed', 'Mute', 'Capo'],
  Home: ['Sofa', 'Lamp', 'Kettle', 'Window'],
};

/** Ten listeners. One can’t be relied on, and one gets used to everything and likes it better each time. */
export const people: Person[] = (['Stage', 'Home'] as const).flatMap((audience) =>
  aliases[audience].map((alias) => ({
    alias,
    audience,
    remarks: remarks[audience],
    drift: alias === 'Kettle' ? 0.6 : 0,
    guesses: alias === 'Mute',
    fussy: alias === 'Reed',
  })),
);

/** Who hears whether the damper is heard. */
export const abxPanel = ['Snare', 'Fretless', 'Mute', 'Capo', 'Lamp', 'Window'];
/** Who describes five of them: as many of the stage as at home. */
export const profilePanel = ['Snare', 'Fretless', 'Slide', 'Capo', ...aliases.Home];

/**
 * Who does what in the studies of the past weeks, beside the lead who planned them. In those under way the roles are
 * open, so that a visitor may look at desk and sheets.
 */
export const roles: Record<StudyName, Partial<Record<Role, string>>> = {
  'first-impressions': {
    preparer: preparer.name,
    operator: operator.name,
    analyst: lead.name,
    // Waits for whoever visits the demo.
    approver: lead.name,
  },
  profile: { preparer: preparer.name, operator: operator.name, analyst: lead.name, approver: approver.name },
  abx: { preparer: preparer.name, operator: operator.name, analyst: lead.name, approver: approver.name },
  preference: { preparer: preparer.name, operator: operator.name, analyst: lead.name, approver: approver.name },
};

/** What goes otherwise than planned, by study and listener. */
export const scenes: Record<StudyName, Record<string, Scene[]>> = {
  'first-impressions': {
    Slide: [{ sitting: 1, after: 2, what: 'is-late' }],
    Lamp: [{ sitting: 2, after: 1, what: 'reloads' }],
  },
  profile: {},
  abx: {},
  preference: { Window: [{ sitting: 1, after: 4, what: 'leaves' }] },
};
/** Comes to this session with a cold, and is sent home. */
export const cold = { study: 'first-impressions', session: 3, alias: 'Sofa' } as const;
