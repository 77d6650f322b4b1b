import { orderField } from '../../shared/answer-fields';
import { noneTicked } from '../../shared/grade-fields';
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
  /** Samples of which some are picked together, by their place; and how many. */
  picks: { values: string[]; size: number };
  /** Samples that are put in order, by their code. */
  placed: string[];
  /** What the last sample may have been, in the order in which it stands there. */
  choices: string[];
  /** The scales that stand there, by id, in their order, each with its points. */
  scales: { scale: string; values: number[] }[];
  /** The samples that are graded here, by their place in the trial: on which scales, and by which words. */
  graded: { place: number; scales: string[]; words: string[] }[];
  /** The codes of the samples about which words may be added. */
  wordsAbout: string[];
  /** The codes on cards, in their order, where all samples of a trial are heard at once. */
  cards: string[];
  /** What the page itself plays, and for how many seconds at least; null where it plays nothing. */
  player: { manifest: string; minimum: number } | null;
  html: string;
}

/** An answer that this place takes: the first one, the first ones, or the order in which they stand there. */
export function anyAnswer({ answers, picks, placed }: PlaceSeen): string {
  if (picks.values.length > 0) return picks.values.slice(0, picks.size).join('+');
  return placed.length > 0 ? placed.join('>') : (answers[0] ?? '');
}

/** Reads a place; beyond its kind, each thing only when somebody looks at it. */
export function readPlace(version: number, html: string): PlaceSeen {
  let read: Page | null = null;
  const page = (): Page => {
    read ??= new Page(html);
    return read;
  };
  // Asked of every place, and simple enough to be read without a whole page.
  const hidden = (name: string) => new RegExp(`name="${name}" value="([^"]*)"`).exec(html)?.[1] ?? '';
  const progress = /<p class="progress">([^<]*)</.exec(html)?.[1] ?? '';
  return {
    version,
    html,
    kind: /data-kind="([^"]*)"/.exec(html)?.[1] ?? '',
    get trial() {
      return hidden('trial');
    },
    get presentation() {
      return Number(hidden('presentation') || 0);
    },
    get code() {
      return page().text('h1 .code, .ringed .code');
    },
    get seat() {
      const seat = /(\d+)\s*$/.exec(progress.split('·')[1] ?? '')?.[1];
      return seat === undefined ? null : Number(seat);
    },
    get progress() {
      return (progress.split('·')[0] ?? '').trim();
    },
    get practice() {
      return progress.startsWith('Practice');
    },
    get answers() {
      return page()
        .all('input[name="answer"]')
        .map((input) => input.getAttribute('value') ?? '');
    },
    get picks() {
      return {
        values: page()
          .all('input[name="pick"]')
          .map((input) => input.getAttribute('value') ?? ''),
        size: Number(page().find('[data-pick]')?.getAttribute('data-pick') ?? 0),
      };
    },
    get placed() {
      return page()
        .all('select[name^="order_"]')
        .map((select) => (select.getAttribute('name') ?? '').replace(orderField, ''));
    },
    get choices() {
      return page()
        .all('input[name="choice"]')
        .map((input) => input.getAttribute('value') ?? '');
    },
    get scales() {
      return page().all('fieldset.scale').map(scaleOf);
    },
    get graded() {
      return gradedOn(page());
    },
    get wordsAbout() {
      return page()
        .all('textarea')
        .map((area) => (area.getAttribute('name') ?? '').replace('words_', ''));
    },
    get cards() {
      return page()
        .all('[data-card]')
        .map((card) => textOf(card.querySelector('.code')));
    },
    get player() {
      if (!html.includes('data-player')) return null;
      const manifest = page().find('[data-player]')?.getAttribute('data-manifest');
      const minimum = Number(page().find('[data-player]')?.getAttribute('data-minimum') ?? 0);
      return manifest ? { manifest, minimum } : null;
    },
  };
}

function scaleOf(fieldset: Element): PlaceSeen['scales'][number] {
  const points = [...fieldset.querySelectorAll('input[type="radio"]')];
  return {
    scale: (points[0]?.getAttribute('name') ?? '').replace('scale_', ''),
    values: points.map((point) => Number(point.getAttribute('value'))),
  };
}

/** The fields of samples that are graded: a scale may have one for each point. */
function gradedOn(page: Page): PlaceSeen['graded'] {
  const graded = new Map<number, PlaceSeen['graded'][number]>();
  for (const input of page.all('[data-grading] input')) {
    const name = input.getAttribute('name') ?? '';
    const [, place = '', scale] = /^(?:grade|tenths|tick)_(\d+)(?:_(.+))?$/.exec(name) ?? [];
    if (place === '') continue;
    const one = graded.get(Number(place)) ?? { place: Number(place), scales: [], words: [] };
    graded.set(one.place, one);
    const value = input.getAttribute('value') ?? '';
    if (scale === undefined) one.words.push(value);
    else if (!one.scales.includes(scale)) one.scales.push(scale);
  }
  return [...graded.values()].map((one) => ({ ...one, words: one.words.filter((word) => word !== noneTicked) }));
}

/** The place on a whole page, as after opening it or loading it anew. */
export function placeOnPage(page: Page): PlaceSeen | null {
  const place = page.find('#place');
  return place ? readPlace(Number(place.getAttribute('data-version')), place.innerHTML) : null;
}

export const headingOf = (html: string): string => textOf(new Page(html).find('h1'));
