import { protocolOf } from '../../protocols/index';
import type { Findings, Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { verdictWordsIn } from '../../shared/words/en';
import { differenceCautions } from './difference/cautions';
import { differenceFigures, differenceOpen } from './difference/figures';
import { differencePart } from './difference/page';
import { otherPairsNote, preferenceCautions } from './preference/cautions';
import { preferenceFigures, preferenceOpen } from './preference/figures';
import { preferencePart } from './preference/page';
import { ratingCautions } from './rating/cautions';
import { ratingFigures, ratingOpen } from './rating/figures';
import { ratingPart } from './rating/page';
import type { AudienceVerdict } from './view-models';
import { warningsOf } from './warnings';

/** The findings as the printed letter shows them: figures in words, names instead of ids. */

type Shown = Pick<Findings, 'results' | 'panel' | 'habituation'>;
type OfFamily = Pick<
  AudienceVerdict,
  'figures' | 'alsoPossible' | 'others' | 'preference' | 'difference' | 'rating'
> & { cautions: string[] };

export function audienceVerdicts(findings: Shown, plan: Plan): AudienceVerdict[] {
  const { family } = protocolOf(plan.method.id);
  return findings.results.map((result) => {
    const { cautions, ...own } = ofFamily(result, findings, plan);
    return {
      id: result.audience,
      name: result.audienceName,
      verdict: result.verdict,
      verdictWords: verdictWordsIn(family, result.verdict).short,
      sentence: result.sentence,
      warnings: [...cautions, ...warningsOf(result)],
      ...own,
    };
  });
}

function ofFamily(result: Result, findings: Shown, plan: Plan): OfFamily {
  const none = { others: null, preference: null, difference: null, rating: null };
  const { difference, ratings } = result;
  if (difference) {
    return {
      ...none,
      cautions: differenceCautions(result, difference, plan),
      figures: differenceFigures(result, difference, plan),
      alsoPossible: differenceOpen(result, plan),
      difference: differencePart(result, difference, plan),
    };
  }
  if (ratings) {
    const { habituation } = findings;
    return {
      ...none,
      cautions: ratingCautions(result, habituation, plan),
      figures: ratingFigures(
        result,
        ratings.scales.find(({ primary }) => primary),
        plan,
      ),
      alsoPossible: ratingOpen(result, plan),
      rating: ratingPart(result, ratings, habituation, plan),
    };
  }
  return {
    ...none,
    cautions: preferenceCautions(result, plan),
    figures: preferenceFigures(result, plan),
    alsoPossible: preferenceOpen(result, plan),
    others: otherPairsNote(result, plan),
    preference: preferencePart(result, findings, plan),
  };
}
