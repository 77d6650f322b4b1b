/** Fields of a form by which samples are graded, as pages and acts name them. Places count from 1. */

/** What is ticked where no word fits; no word has such an id. */
export const noneTicked = '-';

const gradeField = /^(grade|tenths)_(\d{1,2})_(.+)$/;
const tickField = /^tick_(\d{1,2})$/;

export const isGradeField = (name: string): boolean => gradeField.test(name) || tickField.test(name);

interface Graded {
  grades: { place: number; scale: string; value: number }[];
  ticks: { place: number; attributes: string[] }[];
}

/** Numbers beyond this are as wrong as this one, and a scale says so. */
const farOff = 9_999;

/**
 * The grades that these fields make together, as they travel. A field that holds no number is no grade. Where words and
 * “none of these” are ticked at once, both are sent, and refused.
 */
export function gradesIn(fields: ReadonlyArray<readonly [name: string, value: string]>): Graded {
  const graded: Graded = { grades: [], ticks: [] };
  for (const [name, value] of fields) {
    const [, kind, place, scale] = gradeField.exec(name) ?? [];
    const number = numberIn(value);
    if (scale !== undefined && number !== null) {
      // A tenth has no exact double: what is stored is the whole number next to it, unless it is none.
      const stored = kind === 'tenths' ? Number((number * 10).toFixed(6)) : number;
      const value = Math.max(-farOff, Math.min(farOff, stored));
      graded.grades.push({ place: Number(place), scale, value });
    }
    const ticked = tickField.exec(name)?.[1];
    if (ticked !== undefined) ticksOf(graded, Number(ticked)).push(value);
  }
  for (const { attributes } of graded.ticks) {
    if (attributes.length === 1 && attributes[0] === noneTicked) attributes.length = 0;
  }
  return graded;
}

function ticksOf({ ticks }: Graded, place: number): string[] {
  const before = ticks.find((one) => one.place === place);
  if (before) return before.attributes;
  const attributes: string[] = [];
  ticks.push({ place, attributes });
  return attributes;
}

/** As it is typed, with a comma too; null where it is no number. */
function numberIn(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  return /^-?\d+(?:\.\d+)?$/.test(plain) ? Number(plain) : null;
}
