import { assumedTasteSpread } from '../../protocols/paired-preference-analysis';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { verdictWords } from '../../shared/words/en';
import { chancePercent, chosenPercent, percent, percentBeside, planRows, turningShares } from '../plan-words';
import { cautionsOf, othersNote, scoresNote } from './cautions';
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
  const share = (value: number) => percentBeside(value, turningShares(plan));
  return {
    id: result.audience,
    name: result.audienceName,
    verdict: result.verdict,
    verdictWords: verdictWords[result.verdict].short,
    sentence: result.sentence,
    figures: figuresOf(result, plan),
    alsoPossible: alsoPossible(result, plan),
    others: othersNote(result, plan),
    chart: chartOf(result, plan),
    pairs: result.pairs.map((pair) => ({
      names: `${name(pair.first)} against ${name(pair.second)}`,
      share: pair.share ? share(pair.share.value) : '–',
      interval: pair.share ? `${share(pair.share.lower)} to ${share(pair.share.upper)}` : '–',
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
            : one.repeatedPairs === 1
              ? one.repeatedAlike === 1
                ? 'the same each time'
                : 'not the same each time'
              : `${one.repeatedAlike} of ${one.repeatedPairs} pairs the same each time`,
        triads: one.circularTriads
          ? `${one.circularTriads.triads} of at most ${one.circularTriads.maximum} (by chance, ${percent(one.circularTriads.p)} have so few)`
          : plan.prototypes.length < 3
            ? 'two prototypes have none'
            : 'not for every pair a preference',
      })),
    otherRule: otherRule(result, plan),
    warnings: [...cautionsOf(result, plan), ...result.warnings.map(warningWords)],
  };
}

/** With a minus that is as wide as a plus. */
const signed = (value: number): string =>
  value
    .toFixed(2)
    .replace(/^-0\.00$/, '0.00')
    .replace('-', '\u2212');

const pWords = (p: number | null): string => (p === null ? '–' : p < 0.001 ? '< 0.001' : p.toFixed(3));

function toldApart(pair: Result['pairs'][number], plan: Plan, name: (id: string) => string): string {
  if (pair.pAdjusted === null) return 'no data';
  if (pair.share === null) return 'too few';
  if (pair.pAdjusted > plan.risks.alpha) return 'no';
  return `yes: ${name(pair.share.value > 0.5 ? pair.first : pair.second)}`;
}

/** Shares as the sentence has them: of whoever is ahead. */
function aheadOf(result: Result, plan: Plan) {
  const [primary] = result.pairs;
  const turned = result.estimate !== null && result.estimate.value < 0.5;
  const id = turned ? primary?.second : primary?.first;
  const words = (share: number) => percentBeside(share, turningShares(plan));
  return {
    name: plan.prototypes.find((prototype) => prototype.id === id)?.name ?? '',
    value: (share: number) => (turned ? 1 - share : share),
    words,
    range: (lower: number, upper: number) =>
      turned ? `${words(1 - upper)} to ${words(1 - lower)}` : `${words(lower)} to ${words(upper)}`,
  };
}

function figuresOf(result: Result, plan: Plan): { label: string; value: string }[] {
  const { estimate, n } = result;
  const { name, value, words, range } = aheadOf(result, plan);
  const [primary] = result.pairs;
  const counted = primary?.listeners ?? 0;
  return [
    ...(estimate
      ? [
          { label: `Share for ${name}`, value: words(value(estimate.value)) },
          {
            label: `${chosenPercent(estimate.level)} interval`,
            value: range(estimate.lower, estimate.upper),
          },
        ]
      : []),
    ...(plan.audiences.length > 1
      ? [
          { label: `p, corrected for ${plan.audiences.length} audiences`, value: pWords(result.pAdjusted) },
          { label: 'p, uncorrected', value: pWords(result.p) },
        ]
      : [{ label: 'p', value: pWords(result.pAdjusted) }]),
    { label: 'Listeners', value: counted === n.listeners ? String(counted) : `${counted} of ${n.listeners}` },
    ...(result.pairs.length > 1
      ? [
          { label: 'Trials of this pair', value: String(primary?.trials ?? 0) },
          { label: 'Trials of all pairs', value: String(n.trials) },
        ]
      : [{ label: 'Trials', value: String(n.trials) }]),
    { label: n.days === 1 ? 'Session' : 'Sessions', value: String(n.days) },
    { label: 'Units', value: String(n.units) },
    { label: `Power for ${chosenPercent(plan.risks.smallest.value)}`, value: chancePercent(result.power) },
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
  // One-sided, and the data leave out what the plan looked for: nothing to find by asking again.
  if (plan.risks.sides === 'one-sided' && (result.estimate?.upper ?? 1) < plan.risks.smallest.value) {
    return parts.join(' ') || null;
  }
  if (result.wouldSettle) {
    parts.push(
      `A new study with ${listeners(result.wouldSettle.listeners)} in this audience would find ${chosenPercent(plan.risks.smallest.value)} with a chance of ${chosenPercent(1 - plan.risks.beta)}.`,
    );
  } else if (result.verdict === 'undecided' && result.power >= 1 - plan.risks.beta) {
    parts.push('The panel was as large as the planned risks ask for; a larger one would narrow this range.');
  }
  return parts.length > 0 ? parts.join(' ') : null;
}

function otherRule(result: Result, plan: Plan): string | null {
  if (!result.otherRule) return null;
  const { rule, share, p } = result.otherRule;
  const how = rule === 'split' ? 'counted as half for each' : 'left out';
  if (share === null)
    return `Had “no preference” been ${how}, nothing would be left to count. The plan’s rule decides.`;
  const { name, value, words } = aheadOf(result, plan);
  const uncorrected = plan.audiences.length > 1 ? ' uncorrected' : '';
  return `Had “no preference” been ${how}: ${words(value(share))} for ${name}, p ${pWords(p)}${uncorrected}. The plan’s rule decides.`;
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
        : `${a} of ${b} prototypes had one unit: for ${a === '1' ? 'it' : 'them'} this is about that unit only.`;
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
  {
    label: 'Power',
    value: `Chance that a panel of the size that came shows the smallest share worth finding; assumes that listeners differ in taste (γ = ${assumedTasteSpread}) and always choose${plan.audiences.length > 1 ? ', and that no other audience shows a preference' : ''}`,
  },
  { label: 'Units heard', value: findings.units.map((unit) => `${unit.serial}: ${unit.heard}`).join(' · ') },
  { label: 'Hash of the plan', value: findings.plan.hash },
  { label: 'Commitment to the draw', value: findings.plan.commitment },
];
