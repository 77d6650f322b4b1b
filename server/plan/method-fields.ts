import type { MethodId } from '../../shared/plan';
import { scaleLimits } from '../../shared/scales';

/** What a plan of a method is asked beside what all plans are asked; it is in its spec, but for the window. */
export interface MethodFields {
  /** A window of exposure, a rest before it, and hidden repeats as a part of the method. */
  window: boolean;
  /** Scales that the plan names itself: how many there may be, and whether each has a definition. */
  scales: { most: number; defined: boolean } | null;
  /** Id of the scale where the method brings its own, and nothing is to choose. */
  ownScale: string | null;
  /** How often a sitting goes through all samples, one by one or pair by pair. */
  rounds: boolean;
  /** How many trials a sitting has, each with several samples. */
  trials: boolean;
  /** Samples in one trial, where these may be fewer than there are prototypes. */
  size: boolean;
  /** A prototype that everybody is told is the reference. */
  reference: boolean;
  anchors: boolean;
  /** A rule by which listeners are left out who don't know the reference again. */
  screening: boolean;
  /** Scales from too little to too much. */
  rights: boolean;
  /** A scale of liking beside: always, or where it is wished. */
  liking: 'always' | 'wished' | null;
  /** Words to tick. */
  attributes: boolean;
  /** Samples stand side by side on the page, against something that only a file can be. */
  rendersOnly: boolean;
}

const none: MethodFields = {
  window: false,
  scales: null,
  ownScale: null,
  rounds: false,
  trials: false,
  size: false,
  reference: false,
  anchors: false,
  screening: false,
  rights: false,
  liking: null,
  attributes: false,
  rendersOnly: false,
};

const fields: Partial<Record<MethodId, Partial<MethodFields>>> = {
  'first-impressions': { window: true, scales: { most: scaleLimits.scales, defined: false } },
  'several-stimuli': { scales: { most: scaleLimits.page, defined: false }, trials: true, size: true },
  'reference-and-anchors': {
    ownScale: 'quality',
    trials: true,
    reference: true,
    anchors: true,
    screening: true,
    rendersOnly: true,
  },
  'small-impairments': {
    ownScale: 'impairment',
    rounds: true,
    reference: true,
    screening: true,
    rendersOnly: true,
  },
  'absolute-rating': { ownScale: 'quality', rounds: true },
  'comparison-rating': { ownScale: 'comparison', rounds: true },
  'attribute-profile': { scales: { most: scaleLimits.scales, defined: true }, rounds: true },
  'just-about-right': { rights: true, liking: 'always', rounds: true },
  'check-all': { attributes: true, liking: 'wished', rounds: true },
};

/** Of a method that nobody knows there is nothing of it. */
export const fieldsOf = (method: string): MethodFields => ({
  ...none,
  ...(Object.hasOwn(fields, method) ? fields[method as MethodId] : {}),
});

/** Ratings in a window of first impression; of the others nothing is late, and nothing heard once is spent. */
export const hasWindow = (method: string): boolean => fieldsOf(method).window;
