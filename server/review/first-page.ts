import type { Findings } from '../../shared/findings';
import { outcomeWords } from './planned-done-rows';
import type { FirstPage, VerdictPage } from './view-models';

/** Page one counts what went wrong, says whether there were looks, and leads to everything after it. */

type Parts = Pick<
  VerdictPage,
  | 'audiences'
  | 'pooled'
  | 'between'
  | 'sections'
  | 'excerpts'
  | 'controls'
  | 'tellCautions'
  | 'soundCautions'
  | 'whoKnew'
  | 'leftOut'
  | 'looksTaken'
  | 'amendments'
  | 'plannedDone'
  | 'incidents'
  | 'words'
>;

export const firstPage = (found: Pick<Findings, 'flow' | 'imported'>, parts: Parts): FirstPage => ({
  wrong: wrongIn(found, parts),
  looks: parts.looksTaken
    ? { words: parts.looksTaken.lead, href: '#s-looks' }
    : {
        words: found.imported
          ? 'Nobody can tell who saw on the way how answers stood.'
          : 'The plan has no looks: how answers stood was not shown on the way.',
        href: null,
      },
  contents: contentsOf(parts),
});

const many = (count: number, one: string, several = `${one}s`): string => `${count} ${count === 1 ? one : several}`;

/** What may have moved a verdict stands first, and apart from what was lost and is only less. */
function wrongIn({ flow }: Pick<Findings, 'flow'>, parts: Parts): FirstPage['wrong'] {
  const { trials, listeners } = flow;
  const { whoKnew, tellCautions, soundCautions, leftOut, amendments, incidents, controls } = parts;
  const afterwards = leftOut?.rows.filter((row) => row.afterwards).length ?? 0;
  // What nobody recorded is no deviation.
  const otherwise = parts.plannedDone?.filter(({ outcome }) => outcome === outcomeWords.changed).length ?? 0;
  const odd = controls?.kinds.filter(({ caution }) => caution !== null).length ?? 0;
  const counted: [count: number, words: string, href: string, grave?: boolean][] = [
    [whoKnew.unplanned, `${many(whoKnew.unplanned, 'look')} at the key not as planned`, '#s-tells', true],
    [tellCautions.length, `${many(tellCautions.length, 'sign')} of a tell`, '#s-tells', true],
    [soundCautions.length, `${many(soundCautions.length, 'remark')} on sound and levels`, '#s-sound', true],
    [afterwards, `${many(afterwards, 'decision')} to leave out after unsealing`, '#s-left-out', true],
    [odd, `${many(odd, 'kind')} of controls to look into`, '#s-controls', true],
    [amendments.length, many(amendments.length, 'amendment'), '#s-amendments'],
    [otherwise, `${many(otherwise, 'item')} of the plan done otherwise`, '#s-done'],
    [trials.leftOut, `${many(trials.leftOut, 'trial')} left out`, '#s-left-out'],
    [trials.void, `${many(trials.void, 'trial')} voided`, '#s-flow'],
    [trials.lost, `${many(trials.lost, 'trial')} never answered`, '#s-flow'],
    [trials.quarantined, `${many(trials.quarantined, 'answer')} too late to count`, '#s-flow'],
    [
      listeners.seated - listeners.finished,
      `${many(listeners.seated - listeners.finished, 'listener')} left or missed a sitting`,
      '#s-flow',
    ],
    [incidents.length, many(incidents.length, 'incident'), '#s-incidents'],
  ];
  return counted
    .filter(([count]) => count > 0)
    .map(([, words, href, grave]) => ({ words, href, grave: grave ?? false }));
}

/** In the order of the pages. */
function contentsOf(parts: Parts): FirstPage['contents'] {
  const figures = [...parts.audiences, ...(parts.pooled?.verdict ? [parts.pooled.verdict] : [])];
  const all: [there: boolean, label: string, href: string][] = [
    [parts.between !== null, 'The audiences side by side', '#s-between'],
    ...figures.map(({ id, name }): [boolean, string, string] => [true, `Figures: ${name}`, `#figures-${id}`]),
    [(parts.sections ?? []).length > 0, 'Explored over the whole study', '#s-explored'],
    [parts.excerpts !== null, 'By excerpt', '#s-excerpts'],
    [parts.words !== null, 'In the listeners’ words', '#s-words'],
    [true, 'Was it blind?', '#s-tells'],
    [parts.soundCautions.length > 0, 'Sound and levels', '#s-sound'],
    [Boolean(parts.looksTaken), 'Looks on the way', '#s-looks'],
    [true, 'Who came, and what was lost', '#s-flow'],
    [parts.leftOut !== null, 'What was left out', '#s-left-out'],
    [parts.controls !== null, 'Controls', '#s-controls'],
    [true, 'Incidents', '#s-incidents'],
    [parts.amendments.length > 0, 'The plan, and what was changed', '#s-amendments'],
    [parts.plannedDone !== null, 'Planned, and done', '#s-done'],
    [true, 'How it was done', '#s-method'],
  ];
  return all.filter(([there]) => there).map(([, label, href]) => ({ label, href }));
}
