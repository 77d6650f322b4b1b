import type { z } from 'zod';
import type { Problem } from '../../shared/problem';

/**
 * What fields are called on the page, by dotted path. A star stands for any position in a list and, in the words, for
 * its number: `{'prototypes.*.name': 'Name of prototype *'}`.
 */
export type Labels = Readonly<Record<string, string>>;

type Issue = z.core.$ZodIssue;
type Said = { code: string; message: string; allowed?: string; got?: string };

/** What a schema found wrong, in words for the person who filled in the form: for each field the first thing. */
export function problemsOf(error: z.ZodError, labels: Labels, input: unknown): Problem[] {
  const said = error.issues.flatMap((issue) => {
    if (issue.code === 'unrecognized_keys') return issue.keys.map((key) => foreign([...issue.path, key]));
    const path = issue.path.map(String).join('.');
    return [{ path, ...say(issue, labelOf(path, labels), valueAt(input, issue.path), mayShow(path)) }];
  });
  return said.filter(({ path }, at) => said.findIndex((other) => other.path === path) === at);
}

function say(issue: Issue, label: string, value: unknown, shown: boolean): Said {
  switch (issue.code) {
    case 'invalid_type':
      return wrongType(issue.expected, label, value, shown);
    case 'too_small':
    case 'too_big':
      return outOfRange(issue, label, shown && typeof value === 'string' ? value.trim() : value);
    case 'invalid_value':
      return notAChoice(issue.values.map(String), label, value, shown);
    case 'invalid_union':
      if (value === undefined) return missing(label);
      return notAChoice('options' in issue ? (issue.options ?? []).map(String) : [], label, value, shown);
    case 'not_multiple_of': {
      // As with formats: a schema of ours says itself what would do.
      if (!issue.message.startsWith('Invalid ')) {
        const message = `${label} must be ${issue.message}; ${String(value)} came.`;
        return { code: 'not-a-step', message, allowed: `multiples of ${issue.divisor}`, ...got(value, shown) };
      }
      const allowed = `multiples of ${issue.divisor}`;
      return { code: 'not-a-step', message: `${label} must be one of the ${allowed}.`, allowed, ...got(value, shown) };
    }
    case 'invalid_format': {
      // A schema of ours says in its message what is allowed; zod's own messages show the pattern.
      const allowed = issue.message.startsWith('Invalid ') ? null : issue.message;
      const message = allowed ? `${label} must be: ${allowed}.` : `${label} is not written as it must be.`;
      return { code: 'bad-format', message, ...(allowed ? { allowed } : {}), ...got(value, shown) };
    }
    case 'custom':
      return { code: 'not-valid', message: issue.message };
    default:
      return { code: 'not-valid', message: `${label} can't be used as it is.` };
  }
}

const missing = (label: string): Said => ({ code: 'missing', message: `${label} is missing.` });

const kinds: Record<string, string> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'yes or no',
  array: 'a list',
  object: 'a group of fields',
};

function wrongType(expected: string, label: string, value: unknown, shown: boolean): Said {
  if (value === undefined || value === null) return missing(label);
  const allowed = kinds[expected] ?? expected;
  if (Array.isArray(value) && expected !== 'object') {
    return { code: 'repeated', message: `${label} was sent more than once.`, allowed, got: `${value.length} values` };
  }
  if (typeof value === 'string') {
    return { code: 'wrong-type', message: `${label} must be ${allowed}.`, allowed, ...got(value, shown) };
  }
  const type = Array.isArray(value) ? 'array' : typeof value;
  const came = type === 'number' && expected === 'int' ? String(value) : (kinds[type] ?? type);
  return { code: 'wrong-type', message: `${label} must be ${allowed}; ${came} came.`, allowed, got: came };
}

function outOfRange(issue: Extract<Issue, { code: 'too_small' | 'too_big' }>, label: string, value: unknown): Said {
  const small = issue.code === 'too_small';
  const limit = Number(small ? issue.minimum : issue.maximum);
  // A number of a form comes as text; it is too small as a number, and not too short.
  const lasting = issue.origin === 'string' || Array.isArray(value);
  if (small && value === '') return missing(label);
  if (lasting) {
    const text = issue.origin === 'string';
    const unit = (n: number) => (text ? (n === 1 ? 'character' : 'characters') : n === 1 ? 'entry' : 'entries');
    const allowed = `at ${small ? 'least' : 'most'} ${limit} ${unit(limit)}`;
    const count = [...(value as Iterable<unknown>)].length;
    const came = `${count} ${unit(count)}`;
    const code = text ? (small ? 'too-short' : 'too-long') : small ? 'too-few' : 'too-many';
    return { code, message: `${label} must have ${allowed}; it has ${count}.`, allowed, got: came };
  }
  const edge = issue.inclusive === false ? (small ? 'more than' : 'less than') : small ? 'at least' : 'at most';
  const allowed = `${edge} ${limit}`;
  const code = small ? 'too-small' : 'too-large';
  return { code, message: `${label} must be ${allowed}; ${String(value)} came.`, allowed, got: String(value) };
}

function notAChoice(values: string[], label: string, value: unknown, shown: boolean): Said {
  if (value === undefined || value === '') return missing(label);
  if (Array.isArray(value)) return wrongType('string', label, value, shown);
  const allowed = values.join(', ');
  const message = allowed ? `${label} must be one of: ${allowed}.` : `${label} is none of the choices.`;
  return { code: 'not-a-choice', message, ...(allowed ? { allowed } : {}), ...got(value, shown) };
}

function foreign(path: PropertyKey[]): Problem {
  const name = clip(path.map(String).join('.'));
  return { code: 'unknown-field', message: `This form has no field “${name}”.`, path: name };
}

function got(value: unknown, shown: boolean): { got?: string } {
  return shown && ['string', 'number', 'boolean'].includes(typeof value) ? { got: clip(String(value)) } : {};
}

/** One line, short, and nothing that could reorder or hide the words around it. */
function clip(text: string): string {
  const clean = text.replace(/[\p{C}\s]+/gu, ' ').trim();
  const letters = [...clean];
  return letters.length > 60 ? `${letters.slice(0, 60).join('')}…` : clean;
}

/** What somebody typed into a secret field is never repeated. */
const mayShow = (path: string): boolean => !/pass|secret|token|code/i.test(path);

/** What a field is called, by its path. */
export function labelOf(path: string, labels: Labels): string {
  const exact = Object.hasOwn(labels, path) ? labels[path] : undefined;
  if (exact !== undefined) return exact;
  const numbers = path.split('.').filter((step) => /^\d+$/.test(step));
  const pattern = path.replace(/(?<=^|\.)\d+(?=\.|$)/g, '*');
  const words = Object.hasOwn(labels, pattern) ? labels[pattern] : undefined;
  if (words === undefined) return path === '' ? 'What was sent' : `“${clip(path)}”`;
  return words.replaceAll('*', () => String(Number(numbers.shift() ?? 0) + 1));
}

function valueAt(input: unknown, path: readonly PropertyKey[]): unknown {
  let value: unknown = input;
  for (const step of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined;
    value = (value as Record<PropertyKey, unknown>)[step];
  }
  return value;
}
