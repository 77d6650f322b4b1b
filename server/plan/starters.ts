import { type Scale, starterScales } from '../../shared/scales';
import type { DraftRight, DraftScale } from './draft';

/** What plans start from: words of the trade (common practice), which a team changes or replaces by its own. */

const definitions: Record<string, string> = {
  brightness: 'How much treble stands out against the rest',
  warmth: 'How much body voices and instruments have',
  bass: 'How much there is of the lowest notes',
  'stage-width': 'How far the sound seems to reach to both sides',
  naturalness: 'How much it is like what would be heard in the room',
  comfort: 'How it feels in the ear',
  liking: 'How much you like it, all in all',
  quality: 'How good it is, all in all',
};

/** What is meant by a word that a team didn't define. */
export const usualDefinition = (scale: string): string => definitions[scale] ?? '';

export const draftScale = (scale: Scale & { definition?: string }): DraftScale => ({
  id: scale.id,
  name: scale.name,
  low: scale.low,
  high: scale.high,
  polarity: scale.polarity,
  points: String(scale.points),
  definition: scale.definition ?? usualDefinition(scale.id),
});

/** Overall quality stands first where several samples stand side by side (ITU-R BS.2132-0, from memory). */
const quality: Scale = {
  id: 'quality',
  name: 'Overall quality',
  low: 'bad',
  high: 'excellent',
  polarity: 'unipolar',
  points: 9,
};

export const scaleStarters: readonly Scale[] = [quality, ...starterScales];

const of = (...ids: string[]): DraftScale[] =>
  ids.flatMap((id) => scaleStarters.filter((scale) => scale.id === id)).map(draftScale);

/** The scales that a method starts with. */
export function firstScales(method: string): DraftScale[] {
  if (method === 'several-stimuli') return of('quality', 'brightness', 'bass');
  if (method === 'attribute-profile') return of('brightness', 'bass', 'stage-width');
  return of('liking', 'brightness', 'bass');
}

/** Nine points of liking (common practice), the ends in words. */
export const firstLiking: DraftScale = draftScale({
  id: 'liking',
  name: 'Liking',
  low: 'dislike extremely',
  high: 'like extremely',
  polarity: 'bipolar',
  points: 9,
});

export const rightStarters: readonly DraftRight[] = [
  { id: 'bass', name: 'Bass', low: 'too little', high: 'too much' },
  { id: 'treble', name: 'Treble', low: 'too little', high: 'too much' },
  { id: 'voices', name: 'Voices', low: 'too far away', high: 'too close' },
  { id: 'stage-width', name: 'Stage width', low: 'too narrow', high: 'too wide' },
  { id: 'hold', name: 'Hold in the ear', low: 'too loose', high: 'too tight' },
];

export const firstRights = (): DraftRight[] => rightStarters.slice(0, 2).map((right) => ({ ...right }));

export const firstAttributes = ['clear', 'muffled', 'warm', 'thin', 'boomy', 'sharp', 'wide', 'natural'].join('\n');
