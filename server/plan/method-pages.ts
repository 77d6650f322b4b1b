import { Router } from 'express';
import { protocolOf, protocols } from '../../protocols/index';
import { wayOfAsking } from '../../protocols/ways-of-asking';
import type { YesNoMethod } from '../../protocols/yes-no-counts';
import { yesNoPower } from '../../protocols/yes-no-power';
import { type ControlKind, controlKinds, type MethodId, methodIds } from '../../shared/plan';
import { aimWords, methodWords } from '../../shared/words/methods';
import { methodAbout } from '../method-words';
import { percent } from '../number-words';
import type { Parts } from '../parts';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { remembered } from './remembered';
import { isMethod } from './usual';
import type { MethodPage, MethodsPage } from './view-models';

/** What a team reads of the methods before it plans: all of them by what they answer, and a page for each. */
export function methodPages({ views }: Pick<Parts, 'views'>): Router {
  const router = Router();

  router.get('/about/methods', (req, res) => {
    const page: MethodsPage = { ...staffFrame(req, res, { title: 'Ways of asking' }), groups: methodGroups() };
    res.send(views.page('plan/methods', page));
  });

  router.get('/about/methods/:method', (req, res) => {
    const id = String(req.params.method);
    if (!isMethod(id)) {
      throw new Refusal('not-found', 'There is no such method.', {
        path: 'method',
        next: { label: 'All ways of asking', url: '/about/methods' },
      });
    }
    const page: MethodPage = { ...staffFrame(req, res, { title: methodWords[id].name }), ...aboutMethod(id) };
    res.send(views.page('plan/method-page', page));
  });

  return router;
}

/** By aim. A method that serves two stands under both: it is planned otherwise for each. */
export const methodGroups = (): MethodsPage['groups'] =>
  (['difference', 'similarity', 'preference', 'profile'] as const).map((aim) => ({
    id: aim,
    asks: aimWords[aim].asks,
    means: aimWords[aim].means,
    methods: methodIds
      .filter((id) => id in protocols && protocolOf(id).aims.includes(aim))
      .map((id) => ({ name: methodWords[id].name, asks: methodWords[id].asks, url: `/about/methods/${id}` })),
  }));

export function aboutMethod(id: MethodId): Omit<MethodPage, keyof import('../web/page').StaffFrame> {
  const { chance, standards, controls, evidence, aims } = protocolOf(id);
  const { name, asks, how, decidedBy } = methodWords[id];
  const { knows, take, leave, cost, practice } = methodAbout[id];
  const guessing = chance === null ? null : `By guessing 1 in ${Math.round(1 / chance)} answers is right.`;
  return {
    name,
    asks,
    how: sentence(how.slice(how.indexOf(':') + 1).trim()),
    answers: aims.map((aim) => ({ asks: aimWords[aim].asks, means: aimWords[aim].means })),
    take,
    leave,
    knows,
    cost,
    costs: costsOf(id),
    practice,
    decidedBy: `${decidedBy}.${guessing ? ` ${guessing}` : ''}${aims.includes('similarity') ? ' For sameness the listener is the unit, and the share truly heard is held against a limit that the plan sets.' : ''}`,
    looks:
      evidence === undefined
        ? 'It is looked at once, at its end.'
        : 'It can be planned to be looked at on the way, and then often ends early.',
    controls: controlKinds.map((kind) => controlLine(kind, controls[kind])),
    standards: standards.length === 0 ? null : standards.join(' · '),
  };
}

const sentence = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

const controlNames: Record<ControlKind, string> = {
  hiddenRepeats: 'Hidden repeats',
  identicalPairs: 'Identical pairs',
  knownDifference: 'A known difference',
  units: 'Two units of one prototype',
};

const controlLine = (kind: ControlKind, rule: 'added' | 'own' | { refused: string }) => ({
  name: controlNames[kind],
  says: typeof rule === 'object' ? rule.refused : rule === 'own' ? 'Part of the method.' : 'Can be added to a sitting.',
});

/** Distances that stand for hard, fair and easy to hear. */
const distances = [0.5, 1, 1.5, 2];
const usual = { alpha: 0.05, beta: 0.2 };

/** How much it takes over how large the difference is to the ear; none where d′ says nothing of the answers. */
function costsOf(id: MethodId): MethodPage['costs'] {
  const { chance, family } = protocolOf(id);
  if (family !== 'difference') return [];
  return remembered(['about', id], () =>
    distances.map((dPrime) => {
      const way = wayOfAsking(id, dPrime, usual.alpha, usual.beta);
      return way
        ? { dPrime: String(dPrime), right: percent(way.share), trials: String(way.trials) }
        : {
            dPrime: String(dPrime),
            right: null,
            trials: chance === null ? yesNoTrials(id as YesNoMethod, dPrime) : '–',
          };
    }),
  );
}

/** In sittings of twelve, the fewest that do. */
function yesNoTrials(method: YesNoMethod, dPrime: number): string {
  const sitting = { signalTrials: 6, noiseTrials: 6 };
  const enough = (sittings: number) =>
    yesNoPower(
      method,
      Array.from({ length: sittings }, () => sitting),
      usual.alpha,
      dPrime,
    ) >=
    1 - usual.beta;
  let high = 1;
  while (high < 512 && !enough(high)) high *= 2;
  if (high >= 512) return 'over 6,000';
  let low = Math.floor(high / 2);
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return String(high * 12);
}
