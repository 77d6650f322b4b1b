import { protocolOf } from '../../protocols/index';
import type { Findings, Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { verdictWordsIn } from '../../shared/words/en';
import { differenceCautions } from './difference/cautions';
import { differenceFigures, differenceOpen } from './difference/figures';
import { differencePart } from './difference/page';
import { insteadOfTables } from './listeners/instead';
import { panelLine } from './listeners/panel-line';
import { lookedCautions, lookedFigures, lookedOpen } from './looks/figures';
import { lookedPart } from './looks/letter-part';
import { otherPairsNote, preferenceCautions } from './preference/cautions';
import { preferenceFigures, preferenceOpen } from './preference/figures';
import { preferencePart } from './preference/page';
import { rankingCautions } from './ranking/cautions';
import { rankingFigures, rankingOpen } from './ranking/figures';
import { rankingPart } from './ranking/page';
import { ratingCautions } from './rating/cautions';
import { ratingFigures, ratingOpen } from './rating/figures';
import { ratingPart } from './rating/page';
import type { AudienceVerdict } from './view-models';
import { warningsOf } from './warnings';
import { yesNoCautions } from './yes-no/cautions';
import { yesNoFigures, yesNoOpen } from './yes-no/figures';
import { yesNoPart } from './yes-no/page';

/** The findings as the printed letter shows them: figures in words, names instead of ids. */

type Shown = Pick<Findings, 'results' | 'panel' | 'habituation'> &
  Partial<Pick<Findings, 'unitEffects' | 'listeners' | 'overTime'>>;
type OfFamily = Pick<
  AudienceVerdict,
  'figures' | 'alsoPossible' | 'others' | 'preference' | 'difference' | 'yesNo' | 'rating' | 'ranking'
> & { cautions: string[] };

export function audienceVerdicts(findings: Shown, plan: Plan): AudienceVerdict[] {
  const { family } = protocolOf(plan.method.id);
  return findings.results.map((result) => {
    const { cautions, ...own } = ofFamily(result, findings, plan);
    const listeners = findings.listeners?.find(({ audience }) => audience === result.audience);
    const overTime = findings.overTime?.find(({ audience }) => audience === result.audience);
    const panel = panelLine(listeners, overTime, plan);
    const shown: AudienceVerdict = {
      id: result.audience,
      name: result.audienceName,
      verdict: result.verdict,
      verdictWords: verdictWordsIn(family, result.verdict).short,
      sentence: result.sentence,
      // What keeps a test at the end from being misread isn’t about one that is looked at on the way.
      warnings: [
        ...(result.looks ? lookedCautions(result, result.looks, plan) : cautions),
        ...warningsOf(result, plan),
      ],
      ...own,
      ...(panel !== null && { panel }),
      ...(result.looks && {
        figures: lookedFigures(result, result.looks, plan),
        alsoPossible: lookedOpen(result, plan),
        looks: lookedPart(result, result.looks, plan),
      }),
    };
    return insteadOfTables(shown, findings);
  });
}

function ofFamily(result: Result, findings: Shown, plan: Plan): OfFamily {
  const none = { others: null, preference: null, difference: null, yesNo: null, rating: null, ranking: null };
  const { difference, yesNo, ratings } = result;
  if (difference) {
    return {
      ...none,
      cautions: differenceCautions(result, difference, plan),
      figures: differenceFigures(result, difference, plan),
      alsoPossible: differenceOpen(result, plan),
      difference: differencePart(result, difference, plan),
    };
  }
  if (yesNo) {
    return {
      ...none,
      cautions: yesNoCautions(result, yesNo, plan),
      figures: yesNoFigures(result, yesNo, plan),
      alsoPossible: yesNoOpen(result, plan),
      yesNo: yesNoPart(result, yesNo, plan),
    };
  }
  if (protocolOf(plan.method.id).family === 'ranking') {
    const { ranking } = result;
    return {
      ...none,
      cautions: rankingCautions(result, ranking, plan),
      figures: rankingFigures(result, ranking, plan),
      alsoPossible: rankingOpen(result, plan),
      ranking: ranking ? rankingPart(result, ranking, plan) : null,
    };
  }
  if (ratings) {
    const { habituation, unitEffects } = findings;
    const rating = ratingPart(result, ratings, habituation, plan);
    // Where units have a section of their own, their means stand there.
    const told = unitEffects?.some(({ audience }) => audience === result.audience);
    return {
      ...none,
      cautions: ratingCautions(result, habituation, plan),
      figures: ratingFigures(
        result,
        ratings.scales.find(({ primary }) => primary),
        plan,
      ),
      alsoPossible: ratingOpen(result, plan),
      rating: told ? { ...rating, beside: rating.beside.filter(({ id }) => id !== 'units') } : rating,
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
