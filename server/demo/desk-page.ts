import type { Form, Page } from './page';
import { formOf, textOf } from './page';

/** What an operator reads off the desk, with the forms that stand beside it. */
export interface DeskSeen {
  joinCode: string;
  paused: boolean;
  hands: HandSeen[];
  arrivals: { alias: string; stage: string; seat: Form | null }[];
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

export function readDesk(page: Page): DeskSeen {
  return {
    version: Number(page.find('.desk')?.getAttribute('data-version') ?? 0),
    joinCode: page.text('.join-code'),
    paused: page.find('#resume') !== null,
    hands: page.all('.hand').map(handOf),
    arrivals: page.all('.arrival').map((one) => ({
      alias: textOf(one.querySelector('strong')),
      stage: textOf(one.querySelector('.fine')),
      seat: formIn(one),
    })),
    seats: page.all('details.seat').map(seatOf),
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
