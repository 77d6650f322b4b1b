import {
  type ControlKind,
  controlKinds,
  exclusionRules,
  handsOver,
  type Plan,
  planLimits,
  plays,
} from '../../shared/plan';
import { mishaps } from '../../shared/words/mishaps';
import { mostPresentations } from './asked';
import type { Cells } from './cells';
import { list, named } from './names';

/** One row of a file of answers, each cell read by itself. */
export interface AnswerRow {
  cells: Cells;
  row: number;
  audience: string;
  listener: string;
  session: number;
  sitting: number | null;
  /** Null where no column says it. */
  trial: number | null;
  /** Ids of what was heard, in order; empty where no such column says it. */
  presentations: string[];
  /** Ids, or null where the file doesn't say. */
  units: (string | null)[];
  codes: (string | null)[];
  excerpt: string | null;
  practice: boolean;
  control: ControlKind | null;
  void: string | null;
  flags: string[];
  excluded: ('blind' | 'afterwards')[];
  answeredAt: string | null;
}

/** What our own export says beside the marks of an answer, and what follows from the plan anyway. */
const told = ['excluded-by-rule', 'after-decision'];

/** Reads one row. What is wrong is told by its cells, and read as if it were empty. */
export function answerRow(cells: Cells, plan: Plan): AnswerRow {
  const audience = audienceOf(cells, plan);
  const listener = cells.text('listener');
  if (listener === '') cells.wrong('listener', 'missing', 'It is empty. Give each listener a number or a name.');
  if (listener.length > 200) cells.wrong('listener', 'too-long', 'A name has at most 200 characters.');
  const presentations = presentationsOf(cells, plan);
  const { flags, excluded } = flagsOf(cells);
  const sitting = cells.whole('sitting', 1, planLimits.sessions);
  return {
    cells,
    row: cells.row,
    audience: audience ?? '',
    listener,
    session: sessionOf(cells, sitting, plan),
    sitting,
    trial: cells.whole('trial', 0, 9_999) ?? cells.whole('position', 0, 9_999),
    presentations,
    units: presentations.map((prototype, i) => unitOf(cells, prototype, i, plan)),
    codes: presentations.map((_, i) => codeOf(cells, i)),
    excerpt: excerptOf(cells, plan),
    practice: cells.yes('practice'),
    control: controlOf(cells, plan),
    void: voidOf(cells),
    flags,
    excluded,
    answeredAt: cells.moment('answered_at'),
  };
}

function audienceOf(cells: Cells, { audiences }: Plan): string | null {
  const typed = cells.text('audience');
  if (typed === '') {
    const [only] = audiences;
    if (only && audiences.length === 1) return only.id;
    cells.wrong('audience', 'missing', 'It is empty, and the plan has several audiences.', {
      allowed: list(audiences),
    });
    return null;
  }
  const found = named(typed, audiences);
  if (found) return found.id;
  cells.wrong('audience', 'not-a-choice', `The plan has no audience “${typed}”.`, {
    allowed: list(audiences),
    got: typed,
  });
  return null;
}

function sessionOf(cells: Cells, sitting: number | null, { sessions }: Plan): number {
  const session = cells.whole('session', 1, 9_999) ?? sitting ?? 1;
  if (session <= sessions.count) return session;
  const has = sessions.count === 1 ? 'one session' : `${sessions.count} sessions`;
  cells.wrong('session', 'out-of-range', `The plan has ${has}.`, {
    allowed: `1 to ${sessions.count}`,
    got: String(session),
  });
  return 1;
}

function presentationsOf(cells: Cells, plan: Plan): string[] {
  const found: string[] = [];
  for (let place = 1; place <= mostPresentations(plan); place++) {
    const column = `presentation_${place}`;
    const typed = cells.text(column);
    if (typed === '') continue;
    if (found.length < place - 1) {
      cells.wrong(column, 'missing', `There is a sample here, and none in presentation_${place - 1}.`);
      break;
    }
    const prototype = named(typed, plan.prototypes);
    if (!prototype) {
      const allowed = list(plan.prototypes);
      cells.wrong(column, 'not-a-choice', `The plan has no prototype “${typed}”.`, { allowed, got: typed });
    }
    found.push(prototype?.id ?? '');
  }
  return found;
}

function unitOf(cells: Cells, prototype: string, place: number, plan: Plan): string | null {
  if (!handsOver(plan)) return null;
  const column = `unit_${place + 1}`;
  const typed = cells.text(column);
  return typed === '' ? null : unitNamed(cells, column, typed, prototype, plan);
}

export function unitNamed(cells: Cells, column: string, typed: string, prototype: string, plan: Plan): string | null {
  const own = plan.prototypes.find(({ id }) => id === prototype);
  if (!own) return null;
  const units = own.units.map(({ id, serial }) => ({ id, name: serial }));
  const found = named(typed, units);
  if (!found) {
    cells.wrong(column, 'not-a-choice', `${own.name} has no unit “${typed}”.`, { allowed: list(units), got: typed });
  }
  return found?.id ?? null;
}

/** A spreadsheet takes leading zeros away, and there are none in codes of ours; elsewhere codes may be other words. */
function codeOf(cells: Cells, place: number): string | null {
  const column = `code_${place + 1}`;
  const typed = cells.text(column);
  if (typed === '') return null;
  if (/^[A-Za-z0-9-]{1,12}$/.test(typed)) return typed;
  cells.wrong(column, 'bad-format', `“${typed}” can’t be a code.`, {
    allowed: 'up to 12 letters and digits',
    got: typed,
  });
  return null;
}

function excerptOf(cells: Cells, plan: Plan): string | null {
  const typed = cells.text('excerpt');
  const { excerpts } = plan;
  if (!plays(plan)) {
    if (typed !== '') cells.wrong('excerpt', 'not-this-plan', 'The plan has no excerpts.', { got: typed });
    return null;
  }
  const [only] = excerpts;
  if (typed === '') {
    if (only && excerpts.length === 1) return only.id;
    // Practice may have none.
    if (!cells.yes('practice'))
      cells.wrong('excerpt', 'missing', 'It is empty, and the plan has several.', { allowed: list(excerpts) });
    return null;
  }
  const found = named(typed, excerpts);
  if (!found)
    cells.wrong('excerpt', 'not-a-choice', `The plan has no excerpt “${typed}”.`, {
      allowed: list(excerpts),
      got: typed,
    });
  return found?.id ?? null;
}

function controlOf(cells: Cells, { controls }: Plan): ControlKind | null {
  const typed = cells.text('control');
  if (typed === '') return null;
  const planned = controlKinds.filter(
    (kind) => (kind === 'knownDifference' ? controls[kind] : controls[kind]) !== undefined,
  );
  const found = planned.find((kind) => kind.toLowerCase() === typed.toLowerCase());
  if (found) return found;
  const allowed = planned.join(', ') || 'nothing';
  cells.wrong('control', 'not-a-choice', `The plan has no control “${typed}”.`, { allowed, got: typed });
  return null;
}

/** The reason where it is one that we know; else something else. */
function voidOf(cells: Cells): string | null {
  const typed = cells.text('void');
  if (['', '0', 'no', 'false'].includes(typed.toLowerCase())) return null;
  return Object.hasOwn(mishaps, typed) ? typed : 'other';
}

function flagsOf(cells: Cells): Pick<AnswerRow, 'flags' | 'excluded'> {
  const flags: string[] = [];
  const excluded: AnswerRow['excluded'] = [];
  const known: readonly string[] = exclusionRules.filter((rule) => rule !== 'late');
  for (const word of cells.text('flags').split(/[\s,;]+/)) {
    if (word === '' || told.includes(word)) continue;
    if (word === 'excluded-blind') excluded.push('blind');
    else if (word === 'excluded-afterwards') excluded.push('afterwards');
    else if (known.includes(word)) flags.push(word);
    else {
      const allowed = [...known, 'excluded-blind', 'excluded-afterwards'].join(', ');
      cells.wrong('flags', 'not-a-choice', `There is no mark “${word}”.`, { allowed, got: word });
    }
  }
  return { flags, excluded };
}
