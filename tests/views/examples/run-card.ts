import type { CardPage } from '../../../server/run/view-models';
import { words } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';
import { base, frame, longName, qrSvg, type ViewExamples } from '../staff/frame';
import { listener, token } from './branded';

const link = `http://192.168.4.20:8080/me/${token}`;

const page = (alias: string, when: string, replaced = false): CardPage => ({
  ...frame(`Card for ${alias}`, null),
  base,
  back: `${base}/run/panel`,
  listener: listener(1),
  replaces: replaced ? null : 'a'.repeat(64),
  alias,
  link,
  qrSvg: qrSvg(link),
  when,
});

const examples: ViewExamples<CardPage> = {
  view: 'run/card',
  layout: 'staff',
  examples: [
    {
      name: 'normal',
      model: page(
        'Heron',
        `${say('card.when.from', { from: 'Wed 4 Mar, 12:20' })} ${say('card.when.until', { until: 'Mon 16 Mar, 10:00' })}`,
      ),
    },
    { name: 'replaced', model: page('Heron', words['card.when.next'], true) },
    { name: 'any-time', model: page('Wren', words['card.when.next']) },
    { name: 'long-alias', model: page(longName.slice(0, 40), say('card.when.from', { from: 'Wed 30 Sept, 12:20' })) },
  ],
};
export default examples;
