import { analysed } from '../../protocols/analysed';
import { methodOf } from '../../protocols/index';
import { pooledPlan } from '../../protocols/pooling';
import type { Outcome } from '../../protocols/protocol';
import { ratingsBySitting } from '../../protocols/ratings-by-sitting';
import type { AudienceResult, Habituation, RatingDetail } from '../../protocols/results';
import type { ListenerId, PrototypeId } from '../../shared/brands';
import type { Findings, HabituationFindings, Result } from '../../shared/findings';
import type { StudyRecord } from '../../shared/record';
import { amendmentsOf } from '../blinding/amendments';
import { canonicalJson } from '../blinding/canonical-json';
import { findingsHead } from '../blinding/exclusions';
import { revisionOf } from '../blinding/findings-revision';
import { sha256 } from '../blinding/hash';
import { decidedBlind, isLeftOut } from '../blinding/left-out';
import { outcomesOf, type Told, toldTrials } from '../blinding/outcomes';
import { type StudyStory, storyOf } from '../blinding/story';
import { blindOf } from './blind';
import type { ComputedPart } from './computing/parts';
import { controlsOf } from './controls/controls';
import { controlWarnings } from './controls/warnings';
import { exposuresOf } from './exposure-table';
import { flowOf } from './flow';
import { flowByAudience } from './flow-by-audience';
import { heldOf } from './held';
import { importedOf } from './imported';
import { exclusionFindings } from './left-out-findings';
import { labelOf } from './listener-label';
import { listenersOf } from './listeners/listeners';
import { withNotesTold } from './listeners/notes-told';
import { looksTakenIn } from './looks/taken';
import { measuredOf } from './measured/measured';
import { overTimeOf } from './over-time/over-time';
import type { Material } from './part-of-findings';
import { plannedDoneOf } from './planned-done';
import { priceStepsOf } from './price-steps/price-steps';
import { sentenceOf } from './sentence';
import { settledBy } from './settled-by';
import { byExcerpt } from './sound/by-excerpt';
import { soundOf } from './sound/sound';
import { tellsOf } from './tells/tells';
import { unitEffectsOf } from './unit-effects/unit-effects';

/**
 * Computes what the data say from the ledger alone: up to its unsealing, and what was left out between that and the
 * decision, which changes the analysis beside and never the verdict. @throws Error for a record that is sealed.
 */
export function findingsOf(
  record: StudyRecord,
  { hears, ...options }: { resamples?: number; hears?: ((part: ComputedPart) => void) | undefined } = {},
): Findings {
  hears?.('answers');
  const end = record.ledger.findIndex((entry) => entry.kind === 'unsealed');
  const sealed = end < 0 ? record.ledger : record.ledger.slice(0, end + 1);
  const story = storyOf(sealed);
  const told = toldTrials(story);
  const { plan } = story;
  const { protocol, form } = methodOf(plan);
  const all = outcomesOf(story);
  const blind = decidedBlind(story);
  const kept = all.filter((one) => !isLeftOut(one, plan, blind));
  // Controls judge the panel and the samples; they never count.
  const outcomes = kept.filter(({ control }) => control === undefined);
  const controlled = kept.filter(({ control }) => control !== undefined);
  const analysis = analysed(outcomes, plan, {
    ...options,
    controls: controlled,
    hears: (audience) => hears?.(`audience:${audience}`),
  });
  hears?.('beside');
  // Tables by sitting and excerpt are of those whom the analysis keeps.
  const screened = new Set(
    analysis.results.flatMap(({ ratings }) => ratings?.screening?.dropped.map(({ listener }) => listener) ?? []),
  );
  const rated = (protocol.rated?.(outcomes, plan) ?? outcomes).filter(({ listener }) => !screened.has(listener));
  // Left out where there is nothing of it, so that studies signed before there was any keep their findings to the letter.
  const sound = soundOf(sealed, story, told);
  const excerpts = byExcerpt(rated, plan);
  const looks = looksTakenIn(sealed, story);
  const controls = controlsOf(kept, plan, (listener) => labelOf(story, listener));
  const warned = controls ? controlWarnings(controls, plan.risks.alpha) : [];
  const newer = revisionOf(record.ledger) >= 2;
  const { pooled } = analysis;
  const of: Material = {
    ...{ plan, story, told, outcomes, controlled, all },
    results: analysis.results,
    habituation: analysis.habituation,
    label: (listener) => labelOf(story, listener as ListenerId),
  };
  const listeners = newer ? listenersOf(of) : undefined;
  const said = (result: AudienceResult) => ({
    ...resultOf(
      newer ? withNotesTold(result, listeners, of.label) : result,
      warned,
      story,
      protocol.id,
      analysis.decidedBy,
    ),
    ...(newer && { wouldSettle: settledBy(result, plan) }),
  });
  const exclusions = exclusionFindings(record.ledger, story, all);
  const flows = newer ? flowByAudience(of) : undefined;
  return {
    format: 'fair-hearing/findings',
    version: 1,
    study: { title: plan.title, question: plan.question, method: protocol.id },
    plan: { hash: story.planHash, lockedHash: story.lockedHash, commitment: story.commitment },
    amendments: amendmentsOf(record.ledger),
    flow: flowOf(story, controls && new Set(kept.filter(({ control }) => control).map(({ trial }) => trial)).size),
    ...given(
      newer && {
        flowByAudience: flows,
        plannedDone: plannedDoneOf(sealed, of, { flows: flows ?? [], sound, exclusions, pooled }),
        held: heldOf(sealed, of),
        imported: importedOf(sealed),
      },
    ),
    blind: blindOf(story, sealed),
    results: analysis.results.map(said),
    ...(pooled && { pooled: { ...pooled, result: pooled.result && said(pooled.result) } }),
    ...given(
      newer && {
        overTime: overTimeOf(of),
        listeners,
        unitEffects: unitEffectsOf(of),
        priceSteps: priceStepsOf(of),
      },
    ),
    exclusions,
    interaction: analysis.interaction,
    panel: analysis.results.flatMap((result) =>
      result.consistency.map(({ listener, ...steadiness }) => ({
        listener: labelOf(story, listener),
        audience: result.audience as string,
        ...steadiness,
      })),
    ),
    ...(controls && { controls }),
    ...(looks && { looks }),
    habituation:
      form.kind === 'scales' || form.kind === 'grades'
        ? analysis.habituation.map((one) => habituationOf(one, rated, story))
        : null,
    exposures: exposuresOf(story, told),
    units: unitsOf(story, told),
    incidents: story.incidents,
    tells: tellsOf(sealed, story, told, outcomes),
    ...(sound && { sound }),
    exploratory: {
      words: wordsOf(told, outcomes),
      ...(excerpts && { excerpts }),
      ...given(newer && { measured: measuredOf(sealed, of) }),
    },
    computedFrom: findingsHead(record.ledger)?.hash ?? '',
  };
}

/** Without the parts that there are none of. */
const given = <T extends object>(parts: T | false): Partial<T> =>
  Object.fromEntries(Object.entries(parts || {}).filter(([, part]) => part !== undefined)) as Partial<T>;

export const findingsHash = (findings: Findings): string => sha256(canonicalJson(findings));

function resultOf(
  result: AudienceResult,
  warned: readonly string[],
  story: StudyStory,
  method: string,
  decidedBy: string,
): Result {
  const { audience, difference, yesNo } = result;
  return {
    audience,
    audienceName: pooledPlan(story.plan).audiences.find((one) => one.id === audience)?.name ?? audience,
    method,
    verdict: result.verdict,
    sentence: sentenceOf(result, pooledPlan(story.plan)),
    estimate: result.estimate,
    p: result.p,
    pAdjusted: result.pAdjusted,
    decidedBy,
    n: result.n,
    power: result.power,
    alsoPossible: result.alsoPossible,
    wouldSettle: result.wouldSettle,
    preferred: result.preferred,
    pairs: result.pairs,
    difference: difference && {
      ...difference,
      listeners: difference.listeners.map((one) => ({ ...one, listener: labelOf(story, one.listener) })),
    },
    ...(yesNo && {
      yesNo: {
        ...yesNo,
        listeners: yesNo.listeners.map((one) => ({ ...one, listener: labelOf(story, one.listener) })),
      },
    }),
    ...(result.looks && { looks: result.looks }),
    ratings: result.ratings && labelled(result.ratings, story),
    ...(result.ranking && { ranking: result.ranking }),
    scores: result.scores,
    otherRule: result.otherRule,
    warnings: [...result.warnings, ...warned],
  };
}

/** With listeners by audience and order of joining. */
function labelled({ screening, raters, ...ratings }: RatingDetail, story: StudyStory): Result['ratings'] {
  const label = <T extends { listener: ListenerId }>(one: T) => ({ ...one, listener: labelOf(story, one.listener) });
  return {
    ...ratings,
    ...(screening && { screening: { ...screening, dropped: screening.dropped.map(label) } }),
    ...(raters && { raters: raters.map(label) }),
  };
}

const habituationOf = (one: Habituation, outcomes: readonly Outcome[], { plan }: StudyStory): HabituationFindings => ({
  ...one,
  sittings: ratingsBySitting(
    outcomes.filter(({ audience }) => audience === one.audience),
    one.scale,
    plan.prototypes.map(({ id }) => id as PrototypeId),
  ),
});

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

/** What was said in trials that are analysed: of one that was left out nobody knows what it was about. */
function wordsOf(told: readonly Told[], outcomes: readonly Outcome[]): Findings['exploratory']['words'] {
  const analysed = new Set(outcomes.map(({ trial }) => trial));
  return told.flatMap(({ sitting, trial, design }) =>
    !analysed.has(trial.id)
      ? []
      : trial.words.flatMap(({ code, text }) => {
          const prototype = design.presentations[trial.codes.indexOf(code)];
          return prototype ? [{ prototype: prototype as string, audience: sitting.audience as string, text }] : [];
        }),
  );
}
