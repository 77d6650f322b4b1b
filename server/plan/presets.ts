import { type MethodId, plays } from '../../shared/plan';
import { handlingWords, methodNames } from '../plan-words';
import { earnedByTeam, teams } from '../roles/teams';
import type { Draft } from './draft';
import { newAudience, newExcerpt, newPrototype } from './draft-parts';
import { aims, methodOrder } from './plan-page-method';
import { playbackShown, usualDraft } from './usual';
import type { NewStudyPage } from './view-models';

/** Places to start from. Every figure can be changed until the plan is locked. */
interface Preset {
  id: string;
  name: string;
  sentence: string;
  label: string;
  method: MethodId;
  prototypes: number;
  audiences: [string, number][];
  handling: Draft['handling'];
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
    id: 'two',
    name: 'Two people in the team',
    sentence:
      'One loads the coded carriers in the morning and stays away from desk and panel; the other runs the desk.',
    label: 'Blind within the day',
    method: 'paired-preference',
    prototypes: 2,
    audiences: [['Listeners', 8]],
    handling: 'day-code',
    more: { turns: '4' },
  },
  {
    id: 'three',
    name: 'Three or more in the team',
    sentence: 'One, out of sight, loads fresh carriers for every trial; one runs the desk; the rest may listen.',
    label: 'Double blind',
    method: 'paired-preference',
    prototypes: 3,
    audiences: [['Listeners', 8]],
    handling: 'two-person',
    more: { turns: '6' },
  },
  {
    id: 'shootout',
    name: '4 prototypes, 8 people, 40 minutes',
    sentence: 'All six pairs for each of eight listeners, in one sitting, with one unit of each prototype.',
    label: 'Double blind with a preparer out of sight',
    method: 'paired-preference',
    prototypes: 4,
    audiences: [['Listeners', 8]],
    handling: 'two-person',
    more: { turns: '6' },
  },
  {
    id: 'renders',
    name: 'Before anything is soldered: 3 renders, 12 people',
    sentence:
      'You bring a file for each prototype and excerpt; the listener’s page plays them on one pair of in-ears, matched.',
    label: 'Double blind, with nothing handed over',
    method: 'paired-preference',
    prototypes: 3,
    audiences: [['Listeners', 12]],
    handling: 'two-person',
    more: { playback: 'renders', turns: '6' },
  },
  {
    id: 'weeks',
    name: '3 prototypes, 12 people, 3 sittings over weeks',
    sentence: 'Each sample for ten seconds after a rest, rated at once on three scales; new codes and order each time.',
    label: 'Double blind with a preparer out of sight',
    method: 'first-impressions',
    prototypes: 3,
    audiences: [['Listeners', 12]],
    handling: 'two-person',
    more: {},
  },
];

const isOfRenders = (id: string): boolean => presets.find((one) => one.id === id)?.more.playback === 'renders';

/** Presets that are about a team, and of which size. */
const teamsOf: Record<string, readonly string[]> = { two: ['two'], three: ['three', 'four'] };

/** With a team chosen its handling counts, whatever a preset has by itself. */
export function teamPart(id: string | undefined): Pick<NewStudyPage, 'team' | 'groups'> {
  const team = teams.find((one) => one.id === id);
  if (!team) return { team: null, groups: presetGroups() };
  const label = (method: MethodId) => earnedByTeam(team, method).label;
  return {
    team: { id: team.id, people: team.people, handling: handlingWords[team.handling].name },
    groups: presetGroups().map((group, i) => ({
      ...group,
      presets: group.presets
        .filter(({ id: preset }) => teamsOf[preset]?.includes(team.id) ?? true)
        // Of renders nobody in a team loads or hands over anything, whatever its size.
        .map((preset) => (isOfRenders(preset.id) ? preset : { ...preset, label: label(methodOrder[i] as MethodId) })),
    })),
  };
}

/** The presets by what somebody wants to know. */
export const presetGroups = (): NewStudyPage['groups'] =>
  methodOrder.map((method) => ({
    aim: aims[method].aim,
    method: methodNames[method],
    presets: presets
      .filter((preset) => preset.method === method)
      .map(({ id, name, sentence, label }) => ({ id, name, sentence, label })),
  }));

export function draftFrom(preset: Preset, title: string, handling = preset.handling): Draft {
  const prototypes = Array.from({ length: preset.prototypes }, newPrototype);
  const usual = usualDraft(preset.method);
  return {
    ...usual,
    title,
    prototypes,
    excerpts: plays({ playback: playbackShown(preset.more.playback ?? usual.playback) }) ? [newExcerpt()] : [],
    audiences: preset.audiences.map(([name, listeners]) => ({ ...newAudience(), name, listeners: String(listeners) })),
    primary: { ...usual.primary, first: prototypes[0]?.id ?? '', second: prototypes[1]?.id ?? '' },
    handling,
    ...preset.more,
  };
}
