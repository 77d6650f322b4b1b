import { chosenPercent, decimals } from '../../number-words';
import { fewestAnswers, fewestBeside, type OwnFigure, type OwnFigures } from '../../own-figures';
import { about } from '../figures';

const middleOf = ({ middle }: OwnFigure, words: (value: number) => string): string =>
  middle === null
    ? `Fewer than ${fewestBeside} in the audience to compare with.`
    : `In the middle of the audience: ${words(middle)}.`;
const share = (value: number): string => chosenPercent(Number(value.toFixed(2)));

function figureWords(one: OwnFigure): string {
  switch (one.what) {
    case 'same':
      return `The same again: answered alike ${one.done} of ${one.all} times. ${middleOf(one, share)}`;
    case 'known':
      return `Differences that are plain by design: told ${one.done} of ${one.all}. ${middleOf(one, share)}`;
    case 'right':
      return `Right answers: ${one.done} of ${one.all}${one.guessed === null ? '' : `, where guessing gives about ${about(one.guessed)}`}. ${middleOf(one, share)}`;
    case 'order':
      return `Own rankings: two samples the same way round in ${share(one.value)} of cases. ${middleOf(one, share)}`;
    case 'points':
      return `The same sample again: ratings spread by ${decimals(one.value)} points (SD). ${middleOf(one, decimals)}`;
  }
}

/** What a study says of one listener, a line each. */
export function figuresWords(figures: OwnFigures): string[] {
  if (figures === 'sealed') return ['Sealed: nothing of its answers shows.'];
  if (figures === 'working') return ['Being worked out. Load the page again in a minute.'];
  return figures.length === 0 ? [`Too few to show: fewer than ${fewestAnswers} answers.`] : figures.map(figureWords);
}

/** Counts of one kind over all studies; too few are no figure. */
export function summed(all: readonly OwnFigures[], what: 'same' | 'known' | 'right'): string {
  let [done, of] = [0, 0];
  for (const figures of all) {
    if (typeof figures === 'string') continue;
    for (const one of figures) {
      if (one.what !== what) continue;
      done += one.done;
      of += one.all;
    }
  }
  return of < fewestAnswers ? '–' : `${done} of ${of}`;
}
