import { type PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import { anyAnswer, type PlaceSeen } from '../../server/demo/phone-place';

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
