import { z } from 'zod';
import { type Scale, scaleSchema } from '../shared/scales';

/** The scale of liking, where a method asks for it by itself: findings know it by its id. */
export const likingSchema = scaleSchema.extend({ id: z.literal('liking') });

/** Nine points from dislike to like, as usual since Peryam and Pilgrim (1957), Food Technology 11(9):9–14 (from memory). */
export const usualLiking = {
  id: 'liking',
  name: 'Liking',
  low: 'dislike',
  high: 'like',
  polarity: 'bipolar',
  points: 9,
} as const satisfies Scale;
