import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { root } from '../../server/root';

/**
 * Contrast by the formula of W3C (2023), "Web Content Accessibility Guidelines (WCAG) 2.2": definitions of
 * "relative luminance" and "contrast ratio". Success criteria 1.4.3 (4.5:1 for text) and 1.4.11 (3:1 for controls).
 */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(one: string, other: string): number {
  const [darker = 0, lighter = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (lighter + 0.05) / (darker + 0.05);
}

/** The colours of a style sheet in light, and in dark where they differ. */
function colours(file: string): { light: Record<string, string>; dark: Record<string, string> } {
  const css = readFileSync(join(root, 'client', 'styles', file), 'utf8');
  const [before = '', after = ''] = css.split('@media (prefers-color-scheme: dark)');
  const read = (part: string) =>
    Object.fromEntries([...part.matchAll(/--([a-z0-9-]+):\s*(#[0-9a-f]{6});/g)].map(([, name, hex]) => [name, hex]));
  const light = read(before) as Record<string, string>;
  return { light, dark: { ...light, ...(read(after) as Record<string, string>) } };
}

const tokens = colours('tokens.css');
const grounds = ['paper', 'card'];
const text = [
  ...['ink', 'muted', 'accent', 'caution', 'stop'].flatMap((ink) => grounds.map((ground) => [ink, ground])),
  ['on-accent', 'accent'],
  ['on-stop', 'stop'],
] as [string, string][];
/** Borders of fields and buttons, the ring of the focus, the marks of a choice. */
const controls = ['muted', 'accent', 'caution', 'stop'].flatMap((ink) => grounds.map((g) => [ink, g])) as [
  string,
  string,
][];

test('the formula gives what the definition says of its ends', () => {
  // WCAG 2.2, "contrast ratio": ratios range from 1 to 21.
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
  expect(contrast('#5a635f', '#5a635f')).toBe(1);
});

describe.each(['light', 'dark'] as const)('%s', (scheme) => {
  const of = (name: string): string => {
    const hex = tokens[scheme][name];
    if (!hex) throw new Error(`tokens.css has no colour --${name}.`);
    return hex;
  };

  test.each(text)('text in %s on %s has 4.5:1', (ink, ground) => {
    expect(contrast(of(ink), of(ground))).toBeGreaterThanOrEqual(4.5);
  });

  test.each(controls)('a control in %s on %s has 3:1', (ink, ground) => {
    expect(contrast(of(ink), of(ground))).toBeGreaterThanOrEqual(3);
  });

  test('every colour of the tokens is in a pair above, but for lines that only separate', () => {
    const used = new Set([...text, ...controls].flat());
    expect(Object.keys(tokens[scheme]).filter((name) => !used.has(name))).toEqual(['line']);
  });
});

describe('hues of prototypes', () => {
  const hues = colours('staff.css');
  const names = Array.from({ length: 8 }, (_, i) => `hue-${i + 1}`);

  test('are those published, as RGB of fig. 16 of Okabe and Ito (2008), from memory', () => {
    const published = ['#e69f00', '#56b4e9', '#009e73', '#f0e442', '#0072b2', '#d55e00', '#cc79a7', '#000000'];
    expect(names.map((name) => hues.light[name])).toEqual(published);
  });

  test('are lighter in the dark, every one, and still eight different ones', () => {
    for (const name of names) {
      expect(luminance(hues.dark[name] ?? '#000000')).toBeGreaterThan(luminance(hues.light[name] ?? '#ffffff'));
    }
    expect(new Set(names.map((name) => hues.dark[name])).size).toBe(8);
  });

  test('have an outline of ink, which the pale ones need on paper', () => {
    expect(contrast(hues.light['hue-4'] ?? '', tokens.light.card ?? '')).toBeLessThan(3);
    const css = readFileSync(join(root, 'client', 'styles', 'staff.css'), 'utf8');
    expect(css).toMatch(/\[class\*="hue-"\] \{\s*fill: var\(--hue\);\s*stroke: var\(--ink\);/);
    for (const scheme of ['light', 'dark'] as const) {
      expect(contrast(tokens[scheme].ink ?? '', tokens[scheme].card ?? '')).toBeGreaterThanOrEqual(3);
    }
  });
});
