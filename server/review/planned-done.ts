import { added, trialsOfSitting } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import { pools, together } from '../../protocols/pooling';
import type { Findings } from '../../shared/findings';
import type { DoneItem, PlannedDone } from '../../shared/findings-done';
import { controlKinds, handsOver, levelsCount, type Plan, plays } from '../../shared/plan';
import type { LedgerEntry } from '../../shared/record';
import { amendmentsOf, type PlanChange, planVersions } from '../blinding/amendments';
import { commitmentKept } from '../blinding/commitment-kept';
import { importedEntry } from '../blinding/imported';
import type { SittingStory } from '../blinding/story';
import { unitsMustMatch } from '../level-problems';
import type { Material } from './part-of-findings';

/** What other parts of the findings have counted already. */
export interface Counted {
  flows: NonNullable<Findings['flowByAudience']>;
  sound: Findings['sound'] | undefined;
  exclusions: Findings['exclusions'];
  pooled: { allowed: boolean } | null;
}

type Part = Partial<Omit<PlannedDone, 'item'>> & Pick<PlannedDone, 'outcome'>;

/**
 * What was planned against what was done, item by item, against the plan as it was locked. What nobody records is said to
 * be so. Undefined before anybody joined.
 * @param ledger up to the unsealing
 */
export function plannedDoneOf(
  ledger: readonly LedgerEntry[],
  of: Material,
  counted?: Counted,
): PlannedDone[] | undefined {
  if (!counted || counted.flows.length === 0) return undefined;
  const locked = planVersions(ledger)[0]?.plan ?? of.plan;
  const amendments = amendmentsOf(ledger);
  const changedBy = (...paths: string[]) =>
    amendments.filter(({ changes }) => changes.some(({ path }) => paths.includes(path))).map(({ number }) => number);
  const item = (name: DoneItem, { outcome, ...more }: Part): PlannedDone => ({
    item: name,
    of: null,
    planned: null,
    done: null,
    outOf: null,
    amendments: [],
    reasons: [],
    ...more,
    // Whatever came of it: the plan said something else when it was locked.
    outcome: outcome === 'kept' && (more.amendments ?? []).length > 0 ? 'changed' : outcome,
  });
  const held = { ledger, locked, of, counted, item, changedBy };
  return importedEntry(ledger)
    ? [...people(held), ...answers(held), ...verdicts(held), ...amended(held, amendments)]
    : [
        ...people(held),
        ...time(held),
        ...answers(held),
        ...drawn(held),
        ...handled(held),
        ...heard(held),
        ...rules(held),
        ...verdicts(held),
        ...amended(held, amendments),
      ];
}

interface Doing {
  ledger: readonly LedgerEntry[];
  locked: Plan;
  of: Material;
  counted: Counted;
  item: (name: DoneItem, part: Part) => PlannedDone;
  changedBy: (...paths: string[]) => number[];
}

const asPlanned = (kept: boolean): 'kept' | 'changed' => (kept ? 'kept' : 'changed');

function people({ locked, counted: { flows }, item, changedBy }: Doing): PlannedDone[] {
  return locked.audiences.map(({ id, listeners: planned }, i) => {
    const done = flows.find(({ audience }) => audience === id)?.listeners.seated ?? 0;
    return item('listeners', {
      ...{ of: id, planned, done, outcome: asPlanned(done === planned) },
      amendments: changedBy(`audiences.${i}.listeners`),
    });
  });
}

const hourMs = 3_600_000;

function time({ ledger, locked, of, counted: { flows }, item, changedBy }: Doing): PlannedDone[] {
  const { count, minimumGapHours: gap, maximumSpanDays: span } = locked.sessions;
  const { sessions, sittings } = of.story;
  const total = (value: (flow: (typeof flows)[number]) => number) => flows.reduce((sum, flow) => sum + value(flow), 0);
  const [seated, finished] = [total(({ listeners }) => listeners.seated), total(({ listeners }) => listeners.finished)];
  const spaced = spacing(ledger, sittings);
  return [
    item('sessions', {
      ...{ planned: count, done: sessions.length, outcome: asPlanned(sessions.length === count) },
      amendments: changedBy('sessions.count'),
    }),
    item('every-sitting', {
      ...{ planned: count, done: finished, outOf: seated, outcome: asPlanned(finished === seated) },
      amendments: changedBy('sessions.count', 'sessions.missed'),
    }),
    ...(spaced === null
      ? []
      : [
          item('gap', {
            ...{ planned: gap, done: spaced.gap, outcome: asPlanned(spaced.gap >= gap) },
            amendments: changedBy('sessions.minimumGapHours'),
          }),
          item('span', {
            // 0 sets no end.
            ...{ planned: span === 0 ? null : span, done: spaced.span },
            outcome: asPlanned(span === 0 || spaced.span <= span),
            amendments: changedBy('sessions.maximumSpanDays'),
          }),
        ]),
  ];
}

/** The shortest gap between two sittings of a listener in hours, and the longest span in days; null without two. */
function spacing(
  ledger: readonly LedgerEntry[],
  sittings: readonly SittingStory[],
): { gap: number; span: number } | null {
  const at = (seq: number | null): number => Date.parse(ledger[(seq ?? ledger.length) - 1]?.at ?? '');
  const own = new Map<string, SittingStory[]>();
  for (const one of sittings) own.set(one.listener, [...(own.get(one.listener) ?? []), one]);
  let [gap, span] = [Number.POSITIVE_INFINITY, 0];
  for (const all of own.values()) {
    const inOrder = [...all].sort((a, b) => a.from - b.from);
    inOrder.forEach((one, i) => {
      const before = inOrder[i - 1];
      if (before) gap = Math.min(gap, at(one.from) - at(before.to ?? before.from));
      span = Math.max(span, at(one.from) - at(inOrder[0]?.from ?? one.from));
    });
  }
  if (!Number.isFinite(gap)) return null;
  return { gap: tenths(gap / hourMs), span: tenths(span / (24 * hourMs)) };
}

/**
 * Downwards, so that a gap that was too short by minutes isn't told as kept; a span is held at the door, and whoever came in
 * time may have waited for a seat.
 */
const tenths = (value: number): number => Math.floor(value * 10) / 10;

function answers({ locked, of, counted: { flows }, item }: Doing): PlannedDone[] {
  const total = (value: (flow: (typeof flows)[number]) => number) => flows.reduce((sum, flow) => sum + value(flow), 0);
  const [planned, lost] = [total(({ trials }) => trials.planned), total(({ trials }) => trials.lost)];
  const voidOnly = total(({ missing }) => missing.voidOnly);
  const practice = of.story.sittings.flatMap(({ trials }) => trials.filter((trial) => trial.practice));
  const practised = practice.filter(({ state }) => state === 'answered').length;
  return [
    item('trials', {
      ...{ planned: trialsOfSitting(locked), done: planned - lost - voidOnly, outOf: planned },
      outcome: asPlanned(lost === 0 && voidOnly === 0),
    }),
    ...(practice.length === 0
      ? []
      : [
          item('practice', {
            ...{ planned: 1, done: practised, outOf: practice.length },
            outcome: asPlanned(practised === practice.length),
          }),
        ]),
  ];
}

/** The seed against its commitment: cheap. That each trial is what the seed gives is seen by the check of the record. */
function drawn({ of, counted: { flows }, item }: Doing): PlannedDone[] {
  const kept = commitmentKept(of.story);
  const again = flows.reduce((sum, { trials }) => sum + trials.again, 0);
  return [
    item('order', {
      ...{ planned: 'committed', done: kept ? 'committed' : 'another-seed', outOf: again, outcome: asPlanned(kept) },
    }),
  ];
}

function handled({ ledger, locked, of, item }: Doing): PlannedDone[] {
  const { singleBlind } = of.story;
  const done = singleBlind.length > 0 ? 'single-blind' : locked.handling;
  const found = [
    item('handling', {
      ...{ planned: locked.handling, done, outcome: asPlanned(singleBlind.length === 0) },
      reasons: singleBlind.map(({ reason }) => reason),
    }),
  ];
  if (!handsOver(locked)) return found;
  const units = locked.prototypes.flatMap((prototype) => prototype.units.map(({ id }) => id));
  const heard = new Set<string>(
    of.told.filter(({ trial }) => trial.state === 'answered' && !trial.practice).flatMap((one) => one.units),
  );
  const reworked = ledger.filter(({ kind }) => kind === 'unit-reworked').length;
  const heardOf = units.filter((id) => heard.has(id)).length;
  return [
    ...found,
    item('units', {
      ...{ planned: units.length, done: heardOf, outOf: units.length, outcome: asPlanned(heardOf === units.length) },
    }),
    item('unit-rework', { planned: 0, done: reworked, outcome: asPlanned(reworked === 0) }),
    item('tips', { planned: locked.tips, outcome: 'not-recorded' }),
  ];
}

function heard({ locked, counted: { sound }, item, changedBy }: Doing): PlannedDone[] {
  const found: PlannedDone[] = [];
  if (levelsCount(locked)) {
    const levels = sound?.levels ?? [];
    const deviations = sound?.deviations ?? [];
    const measured = new Set(levels.map(({ unit }) => unit)).size;
    const units = locked.prototypes.reduce((sum, prototype) => sum + prototype.units.length, 0);
    found.push(
      item('levels', {
        planned: unitsMustMatch(locked) ? 'matched' : 'measured',
        ...(measured === 0
          ? { outcome: 'not-recorded' as const }
          : {
              ...{ done: measured, outOf: units },
              outcome: asPlanned(measured === units && deviations.length === 0),
            }),
        reasons: deviations.map(({ by, reason }) => `${by}: ${reason}`),
      }),
    );
  }
  if (!plays(locked)) {
    return [
      ...found,
      ...(locked.playback === 'none'
        ? []
        : [item('playback', { planned: locked.playback, outcome: 'not-recorded' as const })]),
    ];
  }
  const excerpts = sound?.matched?.excerpts ?? [];
  const passed = excerpts.filter(({ files, judged }) => files === 1 || judged === 'passes').length;
  const { interruptions, connections } = sound ?? {};
  const checked = Object.values(connections ?? {}).reduce((sum, one) => sum + one, 0);
  const wireless = connections?.wireless ?? 0;
  return [
    ...found,
    item('matched', {
      planned: locked.sound?.match.kind ?? null,
      ...(excerpts.length === 0
        ? { outcome: 'not-recorded' as const }
        : { done: passed, outOf: excerpts.length, outcome: asPlanned(passed === excerpts.length) }),
    }),
    item('wireless', {
      planned: locked.sound?.wireless ?? null,
      ...(checked === 0
        ? { outcome: 'not-recorded' as const }
        : {
            done: wireless,
            outOf: checked,
            outcome: asPlanned(wireless === 0 || locked.sound?.wireless === 'allowed'),
          }),
      amendments: changedBy('sound.wireless'),
    }),
    item('interrupted', {
      ...{ planned: locked.sound?.interruption ?? null, done: interruptions?.trials ?? 0 },
      outcome: 'kept',
      amendments: changedBy('sound.interruption'),
    }),
  ];
}

function rules({ ledger, locked, of, counted: { flows }, item }: Doing): PlannedDone[] {
  const total = (value: (flow: (typeof flows)[number]) => number) => flows.reduce((sum, flow) => sum + value(flow), 0);
  const looked = ledger.filter(({ kind }) => kind === 'looked').length;
  const state = new Map(of.told.map((one) => [one.trial.id, one.trial.state]));
  const controls = controlKinds
    .filter((kind) => added(locked, kind) > 0)
    .map((kind) => {
      const own = of.told.filter(({ design, trial }) => design.control === kind && trial.replaces === null);
      const answered = of.told.filter(
        ({ design, trial }) => design.control === kind && state.get(trial.id) === 'answered',
      );
      return item('controls', {
        ...{ of: kind, planned: added(locked, kind), done: answered.length, outOf: own.length },
        outcome: asPlanned(answered.length === own.length),
      });
    });
  return [
    item('check-in', {
      ...{
        planned: 'rules',
        done: total(({ sittings }) => sittings.marked),
        outOf: total(({ sittings }) => sittings.held),
      },
      outcome: 'kept',
      reasons: [],
    }),
    ...controls,
    item('looks', {
      ...{ planned: locked.looks.kind, done: looked },
      // Nobody can look at a plan of fixed size; a look that was noted all the same was none of the plan.
      outcome: asPlanned(locked.looks.kind !== 'fixed' || looked === 0),
    }),
  ];
}

function verdicts({ locked, of, counted: { flows, exclusions, pooled }, item, changedBy }: Doing): PlannedDone[] {
  const total = (value: (flow: (typeof flows)[number]) => number) => flows.reduce((sum, flow) => sum + value(flow), 0);
  const afterwards = exclusions.list.filter(({ decided }) => decided === 'afterwards').length;
  const { form } = methodOf(locked);
  return [
    item('left-out', {
      ...{
        planned: locked.exclusions.length,
        done: total(({ trials }) => trials.leftOut),
        outOf: total(({ trials }) => trials.answered),
      },
      outcome: asPlanned(afterwards === 0),
      amendments: changedBy('exclusions'),
    }),
    ...(form.kind === 'scales'
      ? [
          item('late', {
            ...{ planned: form.impression.answerSeconds, done: total(({ trials }) => trials.late) },
            outOf: total(({ trials }) => trials.analysed),
            outcome: asPlanned(total(({ trials }) => trials.late) === 0),
          }),
        ]
      : []),
    ...of.results.map(({ audience, power }) => {
      const planned = 1 - locked.risks.beta;
      return item('power', {
        ...{ of: audience, planned, done: Math.round(power * 1000) / 1000 },
        outcome: asPlanned(power >= planned - 1e-9),
      });
    }),
    ...(pools(locked)
      ? [
          item('pooling', {
            ...{ of: together, planned: 'if-alike', done: pooled?.allowed ? 'pooled' : 'apart', outcome: 'kept' },
          }),
        ]
      : []),
  ];
}

/** Fields that have no item of their own. */
function amended({ item }: Doing, amendments: readonly { number: number; changes: PlanChange[] }[]): PlannedDone[] {
  const told =
    /^(audiences\.\d+\.listeners|sessions\.(count|missed|minimumGapHours|maximumSpanDays)|exclusions|sound\.(wireless|interruption))$/;
  const byPath = new Map<string, { from: unknown; to: unknown; numbers: number[] }>();
  for (const { number, changes } of amendments) {
    for (const { path, from, to } of changes) {
      if (told.test(path)) continue;
      const known = byPath.get(path);
      byPath.set(path, { from: known ? known.from : from, to, numbers: [...(known?.numbers ?? []), number] });
    }
  }
  return [...byPath].map(([path, { from, to, numbers }]) =>
    item('amended', { of: path, planned: plain(from), done: plain(to), outcome: 'changed', amendments: numbers }),
  );
}

const plain = (value: unknown): number | string | null =>
  typeof value === 'number' || typeof value === 'string'
    ? value
    : value === null || value === undefined
      ? null
      : JSON.stringify(value);
