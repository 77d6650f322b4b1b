import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { verdictWords } from '../../shared/words/en';
import { chosenPercent, percent, planRows } from '../plan-words';
import { chartOf, hueClass, symbolSigns } from './charts';
import { listeners } from './sentence';
import type { AudienceVerdict, FlowRow, VerdictPage } from './view-models';

/** The findings as the printed letter shows them: figures in words, names instead of ids. */

type Result = Findings['results'][number];

export function audienceVerdicts(findings: Findings, plan: Plan): AudienceVerdict[] {
  return findings.results.map((result) => audienceVerdict(result, findings, plan));
}

function audienceVerdict(result: Result, findings: Findings, plan: Plan): AudienceVerdict {
  const name = (id: string) => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  const index = (id: string) => plan.prototypes.findIndex((prototype) => prototype.id === id);
  return {
    id: result.audience,
    name: result.audienceName,
    verdict: result.verdict,
    verdictWords: verdictWords[result.verdict].short,
    sentence: result.sentence,
    figures: figuresOf(result, plan),
    alsoPossible: alsoPossible(result, plan),
    chart: chartOf(result, plan),
    pairs: result.pairs.map((pair) => ({
      names: `${name(pair.first)} against ${name(pair.second)}`,
      share: pair.share ? percent(pair.share.value) : '–',
      interval: pair.share ? `${percent(pair.share.lower)} to ${percent(pair.share.upper)}` : '–',
      p: pWords(pair.p),
      pAdjusted: pWords(pair.pAdjusted),
      counts: `${pair.wins} : ${pair.losses}${pair.none > 0 ? `, none ${pair.none}` : ''}`,
      pooled: pWords(pair.pooled.p),
      primary: pair.primary,
      separated: toldApart(pair, plan, name),
    })),
    scores:
      result.scores?.scores
        .toSorted((a, b) => b.logWorth - a.logWorth)
        .map((score) => ({
          prototype: name(score.prototype),
          symbol: symbolSigns[index(score.prototype) % symbolSigns.length] ?? '',
          hueClass: hueClass(index(score.prototype)),
          score: signed(score.logWorth),
          interval:
            score.lower === null || score.upper === null ? '–' : `${signed(score.lower)} to ${signed(score.upper)}`,
        })) ?? [],
    scoresNote: scoresNote(result, plan),
    consistency: findings.panel
      .filter((one) => one.audience === result.audience)
      .map((one) => ({
        listener: one.listener,
        repeated:
          one.repeatedPairs === 0
            ? 'no pair was decided twice'
            : `${one.repeatedAlike} of ${one.repeatedPairs} pairs alike`,
        triads: one.circularTriads
          ? `${one.circularTriads.triads} of at most ${one.circularTriads.maximum} (p ${pWords(one.circularTriads.p)} by chance so few)`
          : plan.prototypes.length < 3
            ? 'two prototypes have none'
            : 'not for every pair a preference',
      })),
    otherRule: otherRule(result, plan),
    warnings: result.warnings.map(warningWords),
  };
}

/** With a minus that is as wide as a plus. */
const signed = (value: number): string => value.toFixed(2).replace('-', '\u2212');

const pWords = (p: number | null): string => (p === null ? '–' : p < 0.001 ? '< 0.001' : p.toFixed(3));

function toldApart(pair: Result['pairs'][number], plan: Plan, name: (id: string) => string): string {
  if (pair.pAdjusted === null || pair.share === null) return 'no data';
  if (pair.pAdjusted > plan.risks.alpha) return 'no';
  return `yes: ${name(pair.share.value > 0.5 ? pair.first : pair.second)}`;
}

/** Shares as the sentence has them: of whoever is ahead. */
function aheadOf(result: Result, plan: Plan) {
  const [primary] = result.pairs;
  const turned = result.estimate !== null && result.estimate.value < 0.5;
  const id = turned ? primary?.second : primary?.first;
  return {
    name: plan.prototypes.find((prototype) => prototype.id === id)?.name ?? '',
    value: (share: number) => (turned ? 1 - share : share),
    range: (lower: number, upper: number) =>
      turned ? `${percent(1 - upper)} to ${percent(1 - lower)}` : `${percent(lower)} to ${percent(upper)}`,
  };
}

function figuresOf(result: Result, plan: Plan): { label: string; value: string }[] {
  const { estimate, n } = result;
  const { name, value, range } = aheadOf(result, plan);
  return [
    ...(estimate
      ? [
          { label: `Share for ${name}`, value: percent(value(estimate.value)) },
          {
            label: `${chosenPercent(estimate.level)} interval`,
            value: range(estimate.lower, estimate.upper),
          },
        ]
      : []),
    { label: 'p, corrected', value: pWords(result.pAdjusted) },
    { label: 'p, before', value: pWords(result.p) },
    { label: 'Listeners', value: String(n.listeners) },
    { label: 'Trials', value: String(n.trials) },
    { label: n.days === 1 ? 'Session' : 'Sessions', value: String(n.days) },
    { label: 'Units', value: String(n.units) },
    { label: `Power for ${chosenPercent(plan.risks.smallest.value)}`, value: percent(result.power) },
  ];
}

function alsoPossible(result: Result, plan: Plan): string | null {
  if (result.verdict !== 'undecided' && result.verdict !== 'not-enough-data') return null;
  const parts: string[] = [];
  if (result.verdict === 'undecided' && result.alsoPossible) {
    const { lower, upper } = result.alsoPossible;
    const { name, range } = aheadOf(result, plan);
    parts.push(`The data still allow shares for ${name} from ${range(lower, upper)}.`);
  }
  if (result.wouldSettle) {
    parts.push(
      `A new study with ${listeners(result.wouldSettle.listeners)} in this audience would find ${chosenPercent(plan.risks.smallest.value)} with a chance of ${chosenPercent(1 - plan.risks.beta)}.`,
    );
  }
  return parts.length > 0 ? parts.join(' ') : null;
}

function scoresNote(result: Result, plan: Plan): string | null {
  if (plan.prototypes.length < 3) return null;
  if (!result.scores)
    return 'No scores: the comparisons that were answered don’t join all prototypes, or came from one listener.';
  if (!result.scores.halfWinAdded) return null;
  return 'The data separate: one prototype never lost, or never won, against the others, so no finite scores exist. What is shown was estimated with half a win added each way. Go by the shares of the pairs.';
}

function otherRule(result: Result, plan: Plan): string | null {
  if (!result.otherRule) return null;
  const { rule, share, p } = result.otherRule;
  const name = plan.prototypes.find((prototype) => prototype.id === result.pairs[0]?.first)?.name ?? '';
  const how = rule === 'split' ? 'counted as half for each' : 'left out';
  return `Had “no preference” been ${how}: ${share === null ? 'no share' : percent(share)} for ${name}, p ${pWords(p)}. The plan’s rule decides.`;
}

/** Warnings come as a key with numbers, so that findings hold no sentence that words may change. */
function warningWords(warning: string): string {
  const [key, a = '', b = ''] = warning.split(':');
  switch (key) {
    case 'fewer-listeners':
      return `${listeners(Number(a))} of ${b} planned.`;
    case 'more-listeners':
      return `${listeners(Number(a))}; ${b} were planned.`;
    case 'these-units-only':
      return a === b
        ? 'One unit of each prototype was heard: this is about these units only.'
        : `${a} of ${b} prototypes had one unit: for them this is about that unit only.`;
    case 'listeners-without-preference':
      return `${listeners(Number(a))} gave no answer about the primary pair that counts, and fell out of its share.`;
    default:
      return warning;
  }
}

/** The flow in rows. While a study runs nothing counts as lost yet. */
export function flowRows(
  { flow }: Pick<Findings, 'flow'>,
  reasonWords: (key: string) => string,
  over = true,
): FlowRow[] {
  const { listeners: people, trials, voidReasons } = flow;
  const row = (label: string, count: number, detail = '', loss = false): FlowRow => ({ label, count, detail, loss });
  const reasons = Object.entries(voidReasons).map(([reason, count]) => `${reasonWords(reason)}: ${count}`);
  return [
    row('Listeners planned', people.planned),
    row('Joined', people.joined),
    row(
      'Had a seat',
      people.seated,
      people.joined > people.seated ? `${people.joined - people.seated} joined and never sat` : '',
    ),
    row('Finished every sitting', people.finished),
    row(
      over ? 'Left before the end' : 'Not finished yet',
      people.seated - people.finished,
      over ? 'what they answered is analysed' : '',
      people.seated > people.finished,
    ),
    row('Analysed', people.analysed),
    row('Trials planned for them', trials.planned),
    row('Voided', trials.void, reasons.join('; '), trials.void > 0),
    row('Put again', trials.again),
    row(
      over ? 'Never answered' : 'Not answered yet',
      trials.lost,
      over && trials.lost > 0 ? 'the sitting ended first' : '',
      trials.lost > 0,
    ),
    row('Answered and analysed', trials.analysed),
    row('Practice, never analysed', trials.practice),
  ];
}

export function wordsOf(findings: Findings, plan: Plan): VerdictPage['words'] {
  const audience = (id: string) => plan.audiences.find((one) => one.id === id)?.name ?? '';
  return plan.prototypes.flatMap((prototype, index) => {
    const counts = new Map<string, { text: string; audience: string; times: number }>();
    for (const one of findings.exploratory.words.filter((word) => word.prototype === prototype.id)) {
      const key = `${one.audience} ${one.text}`;
      const times = (counts.get(key)?.times ?? 0) + 1;
      counts.set(key, { text: one.text, audience: audience(one.audience), times });
    }
    // What was said more often stands first; the same words in the same audience are one line.
    const texts = [...counts.values()]
      .sort((a, b) => b.times - a.times)
      .map((one) => ({
        text: one.text,
        audience: one.times === 1 ? one.audience : `${one.audience}, ${one.times} times`,
      }));
    if (texts.length === 0) return [];
    return [
      {
        prototype: prototype.name,
        symbol: symbolSigns[index % symbolSigns.length] ?? '',
        hueClass: hueClass(index),
        texts,
      },
    ];
  });
}

export const methodRows = (findings: Findings, plan: Plan): { label: string; value: string }[] => [
  ...planRows(plan),
  { label: 'Units heard', value: findings.units.map((unit) => `${unit.serial}: ${unit.heard}`).join(' · ') },
  { label: 'Hash of the plan', value: findings.plan.hash },
  { label: 'Commitment to the draw', value: findings.plan.commitment },
];
