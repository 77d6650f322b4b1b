import { Page } from '../../server/demo/page';
import { type ActPart, type PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import { anyAnswer, type PlaceSeen } from '../../server/demo/phone-place';
import { gradesIn } from '../../shared/grade-fields';

/** Grades that this place takes: the second point of every scale, the middle of every line, the first word. */
export function anyGrades({ html }: PlaceSeen): Pick<Extract<ActPart, { kind: 'grade' }>, 'grades' | 'ticks'> {
  const page = new Page(html);
  const fields = new Map<string, string[]>();
  for (const input of page.all('[data-grading] input:not([type="hidden"])')) {
    const value = input.getAttribute('value');
    const middle = (Number(input.getAttribute('min')) + Number(input.getAttribute('max'))) / 2;
    const name = input.getAttribute('name') ?? '';
    fields.set(name, [...(fields.get(name) ?? []), value ?? String(middle)]);
  }
  return gradesIn(
    [...fields].map(([name, values]): [string, string] => [
      name,
      (name.startsWith('tick_') ? values[0] : (values[1] ?? values[0])) ?? '',
    ]),
  );
}

/** Does what a phone asks for at a place: the first answer, the second point of every scale, no words. Else nothing. */
export async function stepAt(phone: PhoneBrowser, place: PlaceSeen | null): Promise<void> {
  const presentation = place?.presentation ?? 0;
  // What plays here was fetched before the place where it is rated.
  if (place?.player && place.kind !== 'rating') await phone.fetchSounds(place);
  switch (place?.kind) {
    case 'sound-check':
      await phone.checkSound();
      return;
    case 'resetting':
      await phone.act({ kind: 'rested', presentation });
      return;
    case 'fitting':
      await phone.act({ kind: 'fits', presentation });
      return;
    case 'starting':
      await phone.act({ kind: 'plays', presentation });
      return;
    case 'listening':
      await phone.act({ kind: 'heard', presentation, ...reportOf(place) });
      return;
    case 'comparing':
      await phone.act({ kind: 'plays', presentation });
      await phone.act({ kind: 'answer', answer: anyAnswer(place), ...reportOf(place) });
      return;
    case 'grading':
      if (place.html.includes('data-at="together"')) await phone.act({ kind: 'plays', presentation });
      await phone.act({ kind: 'grade', presentation, ...anyGrades(place), ...reportOf(place) });
      return;
    case 'asking':
      await phone.act({ kind: 'answer', answer: anyAnswer(place) });
      return;
    case 'rating': {
      const touched = { sincePlaying: 4_000, wall: phone.wall() };
      const ratings = place.scales.map(({ scale, values }) => ({ scale, value: values[1] ?? 0, touched }));
      await phone.act({ kind: 'rate', ratings, ...reportOf(place) });
      return;
    }
    case 'words':
      await phone.act({ kind: 'words', words: [] });
      return;
    case 'guessing':
      await phone.guess({ choice: place.choices[0] ?? '', sure: 'guess' });
      return;
  }
}
