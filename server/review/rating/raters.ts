import type { Ratings } from '../../../shared/findings';
import type { RaterFindings } from '../../../shared/findings-result';
import type { Plan } from '../../../shared/plan';
import { decimals } from '../../number-words';
import { pWords } from '../figures';
import { scaleIn } from '../shown-scale';
import type { RatedSection } from '../view-models';
import { row, section, table } from './section';

const notes: Record<NonNullable<RaterFindings['note']>, string> = {
  'at-random': 'tells none apart',
  'the-other-way': 'the other way round',
};

/** How each listener rates: who tells prototypes apart, repeats, agrees. Null where nothing says. */
export function ratersSection({ raters }: Ratings, plan: Plan): RatedSection | null {
  if (!raters || raters.length === 0) return null;
  const noted = (note: RaterFindings['note']) =>
    raters.filter((one) => one.note === note).map(({ listener }) => listener);
  const [random, turned] = [noted('at-random'), noted('the-other-way')];
  return section({
    id: 'raters',
    heading: 'Who rates how',
    sentences: [
      `On the scale “${scaleIn(plan, plan.primary.scale ?? '').name}”. It describes, and leaves nobody out.`,
      ...(random.length === 0
        ? []
        : [`Where the panel tells prototypes apart, the ratings of ${joined(random)} don’t: they are as by chance.`]),
      ...(turned.length === 0
        ? []
        : [
            `${joined(turned)} rate${turned.length === 1 ? 's' : ''} the other way round than the others: a taste of their own, or a scale that was misread.`,
          ]),
    ],
    tables: [
      table(
        'Listener by listener',
        'Listener',
        ['Tells apart, p', 'Repeats to within (SD)', 'Agrees with the others', 'Level beside the panel', 'Note'],
        raters.map(({ listener, discriminationP, repeatabilitySd, agreement, bias, note }) =>
          row(listener, [
            pWords(discriminationP),
            repeatabilitySd === null ? '–' : decimals(repeatabilitySd),
            agreement === null ? '–' : decimals(agreement),
            `${bias > 0 ? '+' : ''}${decimals(bias)}`,
            note === null ? '' : notes[note],
          ]),
        ),
      ),
    ],
    note: 'Tells apart: F test of own ratings, which takes samples that were rated more than once. Repeats: standard deviation of ratings of the same sample. Agrees: correlation with the mean of the others, from −1 to 1.',
    folded: true,
  });
}

const joined = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
