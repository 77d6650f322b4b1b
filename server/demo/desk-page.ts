import { type Form, formOf, Page, textOf } from './page';

/** What an operator reads off the desk, with the forms that stand beside it. */
export interface DeskSeen {
  joinCode: string;
  paused: boolean;
  hands: HandSeen[];
  /** `seat` only for whoever is ready, `again` only for whoever was put off at check-in. */
  arrivals: { alias: string; stage: string; seat: Form | null; again: Form | null }[];
  seats: SeatSeen[];
  version: number;
}

export interface HandSeen {
  kind: 'swap' | 'take-back' | 'held-up';
  seat: number;
  give: string | null;
  takeBack: string | null;
  practice: boolean;
  /** Null for what is held up. */
  form: Form | null;
  sentence: string;
}

export interface SeatSeen {
  seat: number;
  alias: string;
  now: string;
  holding: string | null;
  progress: string;
  void: Form | null;
  incident: Form;
  out: Form | null;
  again: Form | null;
}

/** Reads the desk, each part when it is asked for: a whole panel's seats are many forms, and mostly nobody looks. */
export function readDesk(html: string): DeskSeen {
  const page = once(() => new Page(html));
  const part = (id: string) => new Page(section(html, id));
  const arrivals = once(() =>
    part('arrivals-head')
      .all('.arrival')
      .map((one) => ({
        alias: textOf(one.querySelector('strong')),
        stage: textOf(one.querySelector('.fine')),
        seat: formIn(one.querySelector('form[id^="seat-"]')),
        again: formIn(one.querySelector('form[id^="again-"]')),
      })),
  );
  const hands = once(() => part('hands-head').all('.hand').map(handOf));
  const seats = once(() => part('seats-head').all('details.seat').map(seatOf));
  return {
    version: Number(/data-version="(\d+)"/.exec(html)?.[1] ?? 0),
    paused: html.includes('id="resume"'),
    get joinCode() {
      return page().text('.join-code');
    },
    get hands() {
      return hands();
    },
    get arrivals() {
      return arrivals();
    },
    get seats() {
      return seats();
    },
  };
}

/** One section of the page by the id of its heading, or nothing when it isn't there. Sections don't nest. */
const section = (html: string, heading: string): string =>
  new RegExp(`<section[^>]*aria-labelledby="${heading}"[\\s\\S]*?</section>`).exec(html)?.[0] ?? '';

function once<T>(make: () => T): () => T {
  let made: { value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

const formIn = (element: Element | null): Form | null => {
  const form = element?.tagName === 'FORM' ? element : element?.querySelector('form');
  return form ? formOf(form) : null;
};

function handOf(hand: Element): HandSeen {
  const form = formIn(hand);
  const kind = /hand-(swap|take-back|held-up)/.exec(hand.getAttribute('class') ?? '')?.[1] as HandSeen['kind'];
  return {
    kind,
    seat: Number(textOf(hand.querySelector('.hand-seat')).replace(/\D/g, '')),
    give: textOf(hand.querySelector('.hand-give .code, .hand-wait .code')) || null,
    takeBack: textOf(hand.querySelector('.hand-take .code')) || null,
    practice: hand.querySelector('.hand-practice') !== null,
    form,
    sentence: textOf(hand.querySelector('.hand-why')),
  };
}

function seatOf(seat: Element): SeatSeen {
  const fine = textOf(seat.querySelector('.seat-who .fine'));
  const who = textOf(seat.querySelector('.seat-who'));
  return {
    seat: Number(textOf(seat.querySelector('.seat-number')).replace(/\D/g, '')),
    alias: who.slice(0, who.length - fine.length).trim(),
    now: textOf(seat.querySelector('.seat-now')),
    holding: textOf(seat.querySelector('.seat-holding .code')) || null,
    progress: textOf(seat.querySelector('.seat-progress')),
    void: formIn(seat.querySelector('form[id^="void-"]')),
    incident: formIn(seat.querySelector('form[id^="incident-"]')) as Form,
    out: formIn(seat.querySelector('form[id^="out-"]')),
    again: formIn(seat.querySelector('form[id^="again-"]')),
  };
}
