import { type Aim, aims, type MethodId, plays } from '../../shared/plan';
import { aimWords } from '../../shared/words/methods';
import { handlingWords, methodNames } from '../plan-words';
import { earnedByTeam, teams } from '../roles/teams';
import type { Draft } from './draft';
import { newAudience, newExcerpt, newPrototype } from './draft-parts';
import { fieldsOf } from './method-fields';
import { aimOf, playbackShown, usualDraft } from './usual';
import type { NewStudyPage } from './view-models';

/** Places to start from. Every figure can be changed until the plan is locked. */
interface Preset {
  id: string;
  name: string;
  sentence: string;
  label: string;
  method: MethodId;
  /** Left out: what the method is usually asked for. */
  aim?: Aim;
  prototypes: number;
  audiences: [string, number][];
  handling: Draft['handling'];
  /** The smallest effect that its people find by the chance its risks promise, where the usual one is out of reach. */
  smallest?: Partial<Draft['smallest']>;
  /** What is not as it usually is. */
  more: Partial<Draft>;
}

export const presets: readonly Preset[] = [
  {
    id: 'hear',
    name: '2 prototypes, 8 people, 2 sittings',
    sentence: 'Two samples, then one of them again: which was it? Six trials a sitting.',
    label: 'Double blind with a preparer out of sight',
    method: 'abx',
    prototypes: 2,
    audiences: [['Listeners', 8]],
    handling: 'two-person',
    more: { sessions: '2', spanDays: '14' },
  },
  {
    id: 'hear-renders',
    name: 'Before anything is soldered: 2 renders, 8 people',
    sentence:
      'You bring a file for each of two prototypes. The listener’s page plays both, and one of them again: which was it?',
    label: 'Double blind, with nothing handed over',
    method: 'abx',
    prototypes: 2,
    audiences: [['Listeners', 8]],
    handling: 'two-person',
    more: { playback: 'renders', trials: '8', sessions: '2', spanDays: '14' },
  },
  {
    id: 'hear-group',
    name: 'A small change: 2 prototypes, 10 people',
    sentence:
      'Four samples, two of each: which two belong together? It finds a small difference with the fewest answers.',
    label: 'Double blind with a preparer out of sight',
    method: 'tetrad',
    prototypes: 2,
    audiences: [['Listeners', 10]],
    handling: 'two-person',
    smallest: { heard: '0.3' },
    more: { trials: '5' },
  },
  {
    id: 'hear-more',
    name: 'You can name what changes: 2 prototypes, 8 people',
    sentence: 'Two samples: which has more bass, or whatever you name? The cheapest question, if it is the right one.',
    label: 'Double blind with a preparer out of sight',
    method: '2-afc',
    prototypes: 2,
    audiences: [['Listeners', 8]],
    handling: 'two-person',
    more: {},
  },
  {
    id: 'same',
    name: 'A part from another supplier: 2 prototypes, 20 people',
    sentence:
      'Three samples, two of them alike: which is the odd one? Planned to show that it is heard too seldom to matter.',
    label: 'Double blind with a preparer out of sight',
    method: 'triangle',
    aim: 'similarity',
    prototypes: 2,
    audiences: [['Listeners', 20]],
    handling: 'two-person',
    more: { trials: '6' },
  },
  {
    id: 'two',
    name: 'Two people in the team: 2 prototypes, 12 listeners',
    sentence:
      'One loads the coded carriers in the morning and stays away from desk and panel; the other runs the desk.',
    label: 'Blind within the day',
    method: 'paired-preference',
    prototypes: 2,
    audiences: [['Listeners', 12]],
    handling: 'day-code',
    smallest: { share: '0.8' },
    more: { turns: '6' },
  },
  {
    id: 'three',
    name: 'Three or more in the team: 3 prototypes, 18 listeners',
    sentence: 'One, out of sight, loads fresh carriers for every trial; one runs the desk; the rest may listen.',
    label: 'Double blind',
    method: 'paired-preference',
    prototypes: 3,
    audiences: [['Listeners', 18]],
    handling: 'two-person',
    smallest: { share: '0.8' },
    more: { turns: '6' },
  },
  {
    id: 'shootout',
    name: '4 prototypes, 24 people, 20 minutes each',
    sentence: 'All six pairs once for each listener, in one sitting, with one unit of each prototype.',
    label: 'Double blind with a preparer out of sight',
    method: 'paired-preference',
    prototypes: 4,
    audiences: [['Listeners', 24]],
    handling: 'two-person',
    smallest: { share: '0.8' },
    more: { turns: '6' },
  },
  {
    id: 'renders',
    name: 'Before anything is soldered: 3 renders, 16 people',
    sentence:
      'You bring a file for each prototype and excerpt; the listener’s page plays them on one pair of in-ears, matched.',
    label: 'Double blind, with nothing handed over',
    method: 'paired-preference',
    prototypes: 3,
    audiences: [['Listeners', 16]],
    handling: 'two-person',
    smallest: { share: '0.8' },
    more: { playback: 'renders', turns: '9' },
  },
  {
    id: 'rank',
    name: '5 prototypes, 28 people, three at a time',
    sentence: 'Each listener puts three of the five in order, five times; over the panel any two meet equally often.',
    label: 'Double blind with a preparer out of sight',
    method: 'ranking',
    prototypes: 5,
    audiences: [['Listeners', 28]],
    handling: 'two-person',
    more: { size: '3', rankings: '5' },
  },
  {
    id: 'side-by-side',
    name: 'How good, and what like: 4 prototypes, 16 people',
    sentence:
      'All four one after the other, each rated for overall quality, brightness and bass; then all once more at a glance.',
    label: 'Double blind with a preparer out of sight',
    method: 'several-stimuli',
    prototypes: 4,
    audiences: [['Listeners', 16]],
    handling: 'two-person',
    smallest: { points: '1.5' },
    more: { gradedTrials: '2' },
  },
  {
    id: 'how-good',
    name: 'How good is each by itself: 3 prototypes, 32 people',
    sentence: 'One at a time, in one of five words from bad to excellent, twice each.',
    label: 'Double blind with a preparer out of sight',
    method: 'absolute-rating',
    prototypes: 3,
    audiences: [['Listeners', 32]],
    handling: 'two-person',
    more: { rounds: '2' },
  },
  {
    id: 'how-much-better',
    name: 'Not only which, but how much better: 2 prototypes, 14 people',
    sentence: 'The two one after the other, in both orders: is the second much better, better, about the same, worse?',
    label: 'Double blind with a preparer out of sight',
    method: 'comparison-rating',
    prototypes: 2,
    audiences: [['Listeners', 14]],
    handling: 'two-person',
    more: { rounds: '2' },
  },
  {
    id: 'what-to-change',
    name: 'Too much or too little: 3 prototypes, 48 people',
    sentence:
      'How well is each liked, and has it too little or too much bass and treble? What is wrong, and what it costs.',
    label: 'Double blind with a preparer out of sight',
    method: 'just-about-right',
    prototypes: 3,
    audiences: [['Listeners', 48]],
    handling: 'two-person',
    more: {},
  },
  {
    id: 'reference',
    name: 'Which comes closest to a reference: 4 renders, 20 people',
    sentence:
      'You bring a file for the reference and for three others. All are graded beside it, the reference itself and two anchors hidden among them.',
    label: 'Double blind, with nothing handed over',
    method: 'reference-and-anchors',
    prototypes: 4,
    audiences: [['Listeners', 20]],
    handling: 'two-person',
    smallest: { points: '15' },
    more: { playback: 'renders', gradedTrials: '3' },
  },
  {
    id: 'losses',
    name: 'What is lost where it is hard to hear: 3 renders, 20 people',
    sentence:
      'You bring a file for the reference and for two others. Each is graded to one decimal beside the hidden reference itself.',
    label: 'Double blind, with nothing handed over',
    method: 'small-impairments',
    prototypes: 3,
    audiences: [['Listeners', 20]],
    handling: 'two-person',
    smallest: { points: '0.75' },
    more: { playback: 'renders' },
  },
  {
    id: 'describe',
    name: 'Attribute by attribute: 4 prototypes, 16 people, 3 sittings',
    sentence: 'One at a time, by a panel that shares the words, on attributes that you define; again on other days.',
    label: 'Double blind with a preparer out of sight',
    method: 'attribute-profile',
    prototypes: 4,
    audiences: [['Listeners', 16]],
    handling: 'two-person',
    more: {},
  },
  {
    id: 'words',
    name: 'Which words come to mind: 4 prototypes, 56 people',
    sentence: 'One at a time: which of these words fit? No training, and no scale to learn.',
    label: 'Double blind with a preparer out of sight',
    method: 'check-all',
    prototypes: 4,
    audiences: [['Listeners', 56]],
    handling: 'two-person',
    smallest: { ticked: '0.4' },
    more: {},
  },
  {
    id: 'weeks',
    name: '3 prototypes, 15 people, 3 sittings over weeks',
    sentence: 'Each sample for ten seconds after a rest, rated at once on three scales; new codes and order each time.',
    label: 'Double blind with a preparer out of sight',
    method: 'first-impressions',
    prototypes: 3,
    audiences: [['Listeners', 15]],
    handling: 'two-person',
    more: {},
  },
];

const ofRenders = ({ more }: Preset): boolean => more.playback === 'renders';

/** Presets that are about a team, and of which size. */
const teamsOf: Record<string, readonly string[]> = { two: ['two'], three: ['three', 'four'] };

/** With a team chosen its handling counts, whatever a preset has by itself. */
export function teamPart(id: string | undefined): Pick<NewStudyPage, 'team' | 'groups'> {
  const team = teams.find((one) => one.id === id);
  if (!team) return { team: null, groups: presetGroups() };
  const label = (method: MethodId) => earnedByTeam(team, method).label;
  const fits = ({ id: preset }: Preset) => teamsOf[preset]?.includes(team.id) ?? true;
  return {
    team: { id: team.id, people: team.people, handling: handlingWords[team.handling].name },
    // Of renders nobody in a team loads or hands over anything, whatever its size.
    groups: groupsOf(presets.filter(fits), (preset) => (ofRenders(preset) ? preset.label : label(preset.method))),
  };
}

/** The presets by what somebody wants to know. */
export const presetGroups = (): NewStudyPage['groups'] => groupsOf(presets, ({ label }) => label);

const groupsOf = (offered: readonly Preset[], label: (preset: Preset) => string): NewStudyPage['groups'] =>
  aims.map((aim) => ({
    aim: aimWords[aim].asks,
    means: aimWords[aim].means,
    presets: offered
      .filter((preset) => (preset.aim ?? aimOf(preset.method)) === aim)
      .map((preset) => ({
        id: preset.id,
        name: preset.name,
        method: methodNames[preset.method],
        sentence: preset.sentence,
        label: label(preset),
      })),
  }));

export function draftFrom(preset: Preset, title: string, handling = preset.handling): Draft {
  const prototypes = Array.from({ length: preset.prototypes }, newPrototype);
  const usual = usualDraft(preset.method, preset.aim);
  return {
    ...usual,
    title,
    prototypes,
    excerpts: plays({ playback: playbackShown(preset.more.playback ?? usual.playback) }) ? [newExcerpt()] : [],
    audiences: preset.audiences.map(([name, listeners]) => ({ ...newAudience(), name, listeners: String(listeners) })),
    primary: { ...usual.primary, ...pairOf(prototypes, preset.method) },
    openReference: prototypes[0]?.id ?? '',
    handling,
    smallest: { ...usual.smallest, ...preset.smallest },
    ...preset.more,
  };
}

/** The first two; where the first is the reference, with which listeners are told to compare, the two after it. */
function pairOf(prototypes: Draft['prototypes'], method: MethodId): { first: string; second: string } {
  const [first, second] = fieldsOf(method).reference && prototypes.length > 2 ? prototypes.slice(1) : prototypes;
  return { first: first?.id ?? '', second: second?.id ?? '' };
}
