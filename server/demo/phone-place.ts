import { Page, textOf } from './page';

/** Where a phone is, as its owner reads it off the screen. */
export interface PlaceSeen {
  version: number;
  kind: string;
  trial: string;
  presentation: number;
  /** The code that stands large on the page. */
  code: string;
  seat: number | null;
  progress: string;
  practice: boolean;
  /** What can be answered, in the order in which it stands there. */
  answers: string[];
  /** The scales that stand there, by id, in their order, each with its points. */
  scales: { scale: string; values: number[] }[];
  /** The codes of the samples about which words may be added. */
  wordsAbout: string[];
  html: string;
}

export function readPlace(version: number, html: string): PlaceSeen {
  const page = new Page(html);
  const hidden = (name: string) => page.find(`input[name="${name}"]`)?.getAttribute('value') ?? '';
  const progress = page.text('.progress');
  const seat = /(\d+)$/.exec(progress.split('·')[1] ?? '')?.[1];
  return {
    version,
    kind: page.find('[data-kind]')?.getAttribute('data-kind') ?? '',
    trial: hidden('trial'),
    presentation: Number(hidden('presentation') || 0),
    code: page.text('h1 .code, .ringed .code'),
    seat: seat === undefined ? null : Number(seat),
    progress: (progress.split('·')[0] ?? '').trim(),
    practice: progress.startsWith('Practice'),
    answers: page.all('input[name="answer"]').map((input) => input.getAttribute('value') ?? ''),
    scales: page.all('fieldset.scale').map((one) => {
      const points = [...one.querySelectorAll('input[type="radio"]')];
      return {
        scale: (points[0]?.getAttribute('name') ?? '').replace('scale_', ''),
        values: points.map((point) => Number(point.getAttribute('value'))),
      };
    }),
    wordsAbout: page.all('textarea').map((area) => (area.getAttribute('name') ?? '').replace('words_', '')),
    html,
  };
}

/** The place on a whole page, as after opening it or loading it anew. */
export function placeOnPage(page: Page): PlaceSeen | null {
  const place = page.find('#place');
  return place ? readPlace(Number(place.getAttribute('data-version')), place.innerHTML) : null;
}

export const headingOf = (html: string): string => textOf(new Page(html).find('h1'));
