import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import { StatsError, type StatsErrorCode } from '../../stats/errors';

export interface Tolerance {
  relative: number;
  absolute: number;
}

export interface ReferenceCase<Inputs, Expected> {
  id: string;
  description: string;
  source: string;
  confirmedBy: string;
  publishedOrigin?: string;
  published?: Record<string, { value: number; tolerance: number }>;
  tolerance: Tolerance;
  inputs: Inputs;
  expected: Expected;
}

/** Cases of tests/references/NAME.json: what they come from stands in each. */
export function references<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`../references/${name}.json`, import.meta.url), 'utf8')) as T;
}

/** A value passes when it is within the larger of the absolute and the relative tolerance. */
export function expectClose(
  got: number | null | undefined,
  expected: number,
  tolerance: Tolerance,
  what: string,
): void {
  const off = Math.abs((got ?? Number.NaN) - expected);
  const allowed = Math.max(tolerance.absolute, tolerance.relative * Math.abs(expected));
  expect(off <= allowed, `${what}: expected ${expected}, got ${got}, off by ${off}, allowed ${allowed}`).toBe(true);
}

export const rounding: Tolerance = { relative: 1e-12, absolute: 1e-15 };

/** The coded error that a call throws; fails where it throws none. */
export function refused(act: () => unknown): StatsError {
  try {
    act();
  } catch (error) {
    if (error instanceof StatsError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

export function expectRefused(act: () => unknown, code: StatsErrorCode, path: string): StatsError {
  const error = refused(act);
  expect([error.code, error.path]).toEqual([code, path]);
  expect(error.message).toContain('; allowed: ');
  return error;
}

const words: Record<string, unknown> = { NaN: Number.NaN, Infinity: Number.POSITIVE_INFINITY, undefined };

/**
 * A table written in one line, rows after commas and cells after blanks, so that bad ones stand in a list: `1 2, 1 NaN`.
 * A cell is JSON, or NaN, Infinity, undefined; whatever it is, it passes for a number, as a caller without types would
 * have it.
 */
export const cells = (text: string): number[][] =>
  text
    .split(', ')
    .map((row) => row.split(' ').map((cell) => (cell in words ? words[cell] : JSON.parse(cell)) as number));
