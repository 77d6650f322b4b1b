import { protocolOf } from '../../protocols/index';
import type { AudienceResult } from '../../protocols/protocol';
import type { Findings } from '../../shared/findings';
import type { StudyRecord } from '../../shared/record';
import { canonicalJson } from '../blinding/canonical-json';
import { sha256 } from '../blinding/hash';
import { outcomesOf, type StudyStory, storyOf, type Told, toldTrials } from '../blinding/outcomes';
import { handlingWords } from '../plan-words';
import { flowOf } from './flow';
import { sentenceOf } from './sentence';

/** Computes what the data say from the ledger alone, up to its unsealing. @throws Error for a record that is sealed. */
export function findingsOf(record: StudyRecord, options: { resamples?: number } = {}): Findings {
  const end = record.ledger.findIndex((entry) => entry.kind === 'unsealed');
  const story = storyOf(end < 0 ? record.ledger : record.ledger.slice(0, end + 1));
  const told = toldTrials(story);
  const { plan } = story;
  const protocol = protocolOf(plan.method.id);
  const analysis = protocol.analyse(outcomesOf(story), plan, options);
  return {
    format: 'fair-hearing/findings',
    version: 1,
    study: { title: plan.title, question: plan.question, method: protocol.id },
    plan: { hash: story.planHash, commitment: story.commitment },
    flow: flowOf(story),
    blind: blindOf(story),
    results: analysis.results.map((result) => resultOf(result, story, protocol.id, analysis.decidedBy)),
    panel: analysis.results.flatMap((result) =>
      result.consistency.map(({ listener, ...steadiness }) => ({
        listener: labelOf(story, listener),
        audience: result.audience as string,
        ...steadiness,
      })),
    ),
    habituation: null,
    units: unitsOf(story, told),
    incidents: story.incidents,
    exploratory: { words: wordsOf(told) },
    computedFrom: story.unsealedHash ?? '',
  };
}

export const findingsHash = (findings: Findings): string => sha256(canonicalJson(findings));

function resultOf(
  result: AudienceResult,
  story: StudyStory,
  method: string,
  decidedBy: string,
): Findings['results'][number] {
  const { audience, verdict, primary, n, power, alsoPossible, wouldSettle, preferred, pairs, scores, otherRule } =
    result;
  return {
    audience,
    audienceName: story.plan.audiences.find((one) => one.id === audience)?.name ?? audience,
    method,
    verdict,
    sentence: sentenceOf(result, story.plan),
    estimate: primary.share,
    p: primary.p,
    pAdjusted: primary.pAdjusted,
    decidedBy,
    n,
    power,
    alsoPossible,
    wouldSettle,
    preferred,
    pairs,
    scores,
    otherRule,
    warnings: result.warnings,
  };
}

/** A listener in a report is a number within the audience: aliases stay on the server. */
function labelOf(story: StudyStory, listener: string): string {
  const member = story.joined.find((one) => one.listener === listener);
  const audience = story.plan.audiences.find((one) => one.id === member?.audience)?.name ?? '';
  return `${audience} ${member?.ordinal ?? '?'}`;
}

function blindOf(story: StudyStory): Findings['blind'] {
  const { handling } = story.plan;
  const singleBlind = handling === 'solo' || story.singleBlind.length > 0;
  const openers = [...new Set(story.openings.map((opening) => opening.by))];
  return {
    handling,
    label: singleBlind ? handlingWords.solo.label : handlingWords[handling].label,
    singleBlind,
    notes: [
      ...story.singleBlind.map(({ reason }) => `Single blind: ${reason}`),
      openers.length === 0
        ? 'Nobody opened a preparation sheet.'
        : `Opened the preparation sheet: ${openers.join(', ')}. Ran the desk: ${story.operators.join(', ') || 'nobody'}.`,
      ...(sharedSamples(story) ? [sharedWords] : []),
    ],
  };
}

const sharedWords =
  'Seats shared samples. From what had to wait for what, whoever ran the desk could have worked out which codes held one sample, though not which prototype it was.';

/** Whether, with fresh carriers, a session had more seats than some prototype has units. */
function sharedSamples({ plan, sittings }: StudyStory): boolean {
  if (plan.handling !== 'two-person') return false;
  const fewest = Math.min(...plan.prototypes.map((prototype) => prototype.units.length));
  const inSession = new Map<number, number>();
  for (const { sessionNumber } of sittings) inSession.set(sessionNumber, (inSession.get(sessionNumber) ?? 0) + 1);
  return [...inSession.values()].some((seats) => seats > fewest);
}

function unitsOf(story: StudyStory, told: readonly Told[]): Findings['units'] {
  const heard = told
    .filter(({ trial }) => trial.state === 'answered' && !trial.practice)
    .flatMap(({ units }) => units as string[]);
  return story.plan.prototypes.flatMap((prototype) =>
    prototype.units.map((unit) => ({
      unit: unit.id,
      prototype: prototype.id,
      serial: unit.serial,
      heard: heard.filter((id) => id === unit.id).length,
    })),
  );
}

function wordsOf(told: readonly Told[]): Findings['exploratory']['words'] {
  return told.flatMap(({ sitting, trial, design }) =>
    trial.practice || trial.state !== 'answered'
      ? []
      : trial.words.flatMap(({ code, text }) => {
          const prototype = design.presentations[trial.codes.indexOf(code)];
          return prototype ? [{ prototype: prototype as string, audience: sitting.audience as string, text }] : [];
        }),
  );
}
