import { type Apart, commonPrototypes, fewestCommon } from '../../../protocols/common-ground';
import type { Plan } from '../../../shared/plan';
import { methodNames } from '../../plan-words';
import { listed } from '../listed';

/** Why two studies aren't put on one axis, each reason as what lacks. */
export const apartWords = (reasons: readonly Apart[], earlier: Plan, later: Plan): string[] =>
  reasons.map((reason) => wordsOf(reason, earlier, later));

function wordsOf(reason: Apart, earlier: Plan, later: Plan): string {
  switch (reason.why) {
    case 'method':
      return `They asked in two ways: ${methodNames[earlier.method.id]} then, ${methodNames[later.method.id]} later. Figures of two methods have no common measure.`;
    case 'scale':
      return 'What the verdict rests on isn’t asked in the same words: another scale, other points or end words, another attribute, or another reference.';
    case 'no-preference':
      return '“No preference” was offered, or counted, in another way, so that a share isn’t the same share.';
    case 'renders':
      return 'One played renders and the other handed over units, so that what was heard isn’t the same thing.';
    case 'audiences':
      return `They have no audience in common: ${listed(earlier.audiences.map(({ name }) => name))} then, ${listed(later.audiences.map(({ name }) => name))} later.`;
    case 'prototypes': {
      const names = reason.common.map(({ name }) => name);
      const have = names.length === 0 ? 'none is common' : `only ${listed(names)} is common`;
      return [
        `It takes ${fewestCommon} prototypes that both compared, so that one tells whether the other was judged alike; ${have}.`,
        ...reason.namesakes.map(
          ({ name, first, second }) =>
            `${name} is in both by name, but not by a unit: ${listed(first)} then, ${listed(second)} later.`,
        ),
      ].join(' ');
    }
  }
}

/** By what it is told that a prototype of the one study is that of the other. */
export function identityWords(earlier: Plan, later: Plan): string {
  const { common } = commonPrototypes(earlier, later);
  const units = common.map(({ name, serials }) => (serials.length === 0 ? name : `${name} (${listed(serials)})`));
  return common.some(({ serials }) => serials.length > 0)
    ? `Common by name and by units that both had: ${listed(units)}.`
    : `Common by name alone, since no units were handed over: ${listed(units)}. Whether the renders were the same nobody tells.`;
}
