import { z } from 'zod';
import { alternatives } from '../check';

/**
 * Pieces of which the inputs of the calls are made. From these the published JSON Schemas come; the functions check for
 * themselves what a schema can't say (one field against another) and give every error its words.
 */
export const open = z.number().gt(0).lt(1);
export const share = z.number().min(0).max(1);
export const count = z.int().min(0).max(1e9);
export const trials = z.int().min(1).max(1e9).describe('answers in all');
export const chance = open.default(0.5).describe('probability of a right answer by guessing');
export const alpha = open.default(0.05).describe('risk of a false alarm');
export const beta = open.default(0.05).describe('risk of missing the difference');
export const level = open.default(0.95).describe('two-sided level of the interval');
export const greater = z.enum(alternatives).default('greater');
export const twoSided = z.enum(alternatives).default('two-sided');
export const seed = z
  .union([z.int().min(0).max(0xffffffff), z.string().max(200)])
  .default(1)
  .describe('the same seed gives the same numbers');

/** A figure as people measure or rate it; beyond these bounds sums of squares would overflow. */
export const figure = z.number().min(-1e15).max(1e15);
export const figures = z.array(figure);
export const item = z.string().min(1);
export const items = z.array(item).min(2).max(1000);
export const scores = z.array(z.array(figure)).describe('one row a listener, one column an item');
