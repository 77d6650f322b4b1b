import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { createViews } from '../../../server/web/views';
import first from '../examples/account-first';
import people from '../examples/account-people';
import signIn from '../examples/account-sign-in';
import token from '../examples/account-token';
import { csrf, sitting } from '../examples/branded';
import dryRun from '../examples/dry-run-dry-run';
import type { ViewExamples } from '../examples/examples';
import amend from '../examples/plan-amend';
import exposure from '../examples/plan-exposure';
import home from '../examples/plan-home';
import locked from '../examples/plan-locked';
import newStudy from '../examples/plan-new';
import plan from '../examples/plan-plan';
import levels from '../examples/prepare-levels';
import listeningLevel from '../examples/prepare-listening-level';
import prepare from '../examples/prepare-prepare';
import reveal from '../examples/prepare-reveal';
import revealed from '../examples/prepare-revealed';
import sheet from '../examples/prepare-sheet';
import sound from '../examples/prepare-sound';
import close from '../examples/review-close';
import data from '../examples/review-data';
import product from '../examples/review-product';
import products from '../examples/review-products';
import rehearsal from '../examples/review-rehearsal';
import unseal from '../examples/review-unseal';
import verdict from '../examples/review-verdict';
import team from '../examples/roles-team';
import teams from '../examples/roles-teams';
import card from '../examples/run-card';
import closeSession from '../examples/run-close-session';
import desk from '../examples/run-desk';
import panel from '../examples/run-panel';
import error from '../examples/web-error';

const views = createViews();
const files: ViewExamples[] = [
  ...[first, signIn, token, people, error, home, newStudy, teams, team, plan, locked, amend, exposure],
  ...[prepare, sheet, sound, levels, listeningLevel, reveal, revealed],
  ...[desk, closeSession, panel, card, close, data, unseal, verdict, rehearsal, dryRun, product, products],
];
const all = files.flatMap(({ view, layout, examples }) =>
  examples.map(({ name, model }) => ({ path: `${view}/${name}`, view, layout, model })),
);
const page = (path: string): Document => {
  const found = all.find((example) => example.path === path);
  if (!found) throw new Error(`There is no example ${path}.`);
  return parseHTML(views.page(found.view, found.model, found.layout)).document;
};
const names = (form: Element | null): string[] => [
  ...new Set([...(form?.querySelectorAll('[name]') ?? [])].map((e) => e.getAttribute('name') ?? '')),
];
const formTo = (document: Document, end: string): Element => {
  const form = [...document.querySelectorAll('form')].find((f) => f.getAttribute('action')?.endsWith(end));
  if (!form) throw new Error(`No form goes to …${end}.`);
  return form;
};

describe.each(all)('$path', (example) => {
  const document = parseHTML(views.page(example.view, example.model, example.layout)).document;
  const ids = [...document.querySelectorAll('[id]')].map((e) => e.id);

  test('has one heading of the first rank, one main, a title, and every id once', () => {
    expect(document.querySelectorAll('h1')).toHaveLength(1);
    expect(document.querySelectorAll('main')).toHaveLength(1);
    expect(document.title).toMatch(/\S · Fair Hearing$/);
    expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
  });

  test('has nothing that the content policy forbids, and nothing from elsewhere', () => {
    expect(document.querySelectorAll('[style], style, script:not([src]), iframe')).toHaveLength(0);
    const handlers = [...document.querySelectorAll('*')].flatMap((e) =>
      [...e.attributes].filter((a) => a.name.startsWith('on')),
    );
    expect(handlers).toEqual([]);
    for (const source of document.querySelectorAll('[src], link')) {
      expect(source.getAttribute('src') ?? source.getAttribute('href')).toMatch(/^\/client\//);
    }
  });

  test('every form that may change something posts with its token, to a path of our own, and has a button with words', () => {
    for (const form of document.querySelectorAll('form')) {
      // What only asks says so in its address.
      if (form.getAttribute('method') === 'get') continue;
      expect(form.getAttribute('method')).toBe('post');
      expect(form.getAttribute('action')).toMatch(/^\/(account|studies)\b/);
      expect(form.querySelectorAll(`input[name="_csrf"][value="${csrf}"]`)).toHaveLength(1);
      const buttons = [...form.querySelectorAll('button:not([disabled])')];
      expect(buttons.length).toBeGreaterThan(0);
      for (const button of buttons) expect(button.textContent?.trim()).toMatch(/^\S/);
    }
  });

  test('every field has a label; errors, hints and the summary lead to what is there', () => {
    for (const field of document.querySelectorAll('input:not([type="hidden"]), select, textarea')) {
      expect(document.querySelector(`label[for="${field.id}"]`), field.outerHTML).not.toBeNull();
    }
    for (const described of document.querySelectorAll('[aria-describedby], [aria-labelledby]')) {
      const named = `${described.getAttribute('aria-describedby') ?? ''} ${described.getAttribute('aria-labelledby') ?? ''}`;
      for (const id of named.trim().split(/\s+/)) expect(ids).toContain(id);
    }
    for (const link of document.querySelectorAll('a[href^="#"]')) {
      expect(ids).toContain(link.getAttribute('href')?.slice(1));
    }
    for (const wrong of document.querySelectorAll('.field .error')) {
      const field = wrong.closest('.field')?.querySelector('input, select, textarea');
      expect(field?.getAttribute('aria-invalid')).toBe('true');
      expect(field?.getAttribute('aria-describedby')?.split(' ')).toContain(wrong.id);
    }
  });
});

test('a form that came back with problems keeps what was typed', () => {
  const document = page('plan/plan/wrong');
  expect(document.querySelector('[id="audiences.0.listeners"]')?.getAttribute('value')).toBe('eight');
  expect(document.querySelectorAll('.problems a')).toHaveLength(4);
  expect(page('account/first/wrong').querySelector('#code')?.getAttribute('value')).toBe('K7MQ-22');
});

test('no secret is ever written back into a page', () => {
  for (const { path } of all) {
    for (const secret of page(path).querySelectorAll('input[type="password"]')) {
      expect(secret.getAttribute('value')).toBe('');
    }
  }
});

test('what comes from people is escaped', () => {
  const hostile = '"><script>alert(1)</script>';
  const model = {
    ...home.examples[1]?.model,
    studies: [{ id: 'x', title: hostile, state: 'draft', stateWords: hostile, next: { label: hostile, url: '/' } }],
  };
  const html = views.page('plan/home', model, 'staff');
  expect(html).not.toContain('<script>alert');
  expect(html).toContain('&lt;script&gt;');
});

test('a view refuses a model that lacks a field, naming it', () => {
  const { heading: _, ...model } = error.examples[0]?.model ?? { heading: '' };
  expect(() => views.page('web/error', model, 'staff')).toThrow(/heading/);
});

describe('forms send the fields that their view models promise', () => {
  test('accounts', () => {
    expect(names(formTo(page('account/first/empty'), '/first'))).toEqual(['_csrf', 'code', 'name', 'password']);
    expect(names(formTo(page('account/sign-in/empty'), '/sign-in'))).toEqual(['_csrf', 'next', 'name', 'password']);
    expect(names(formTo(page('account/token/empty'), '/invited/3k5m'))).toEqual(['_csrf', 'name', 'password']);
    expect(names(formTo(page('account/token/reset'), '/reset/77ab'))).toEqual(['_csrf', 'password']);
  });

  test('the plan: every field by the path of the plan, and Enter saves', () => {
    const form = formTo(page('plan/plan/normal'), '/plan');
    expect(names(form)).toEqual(
      expect.arrayContaining([
        ...['title', 'question', 'prototypes.0.name', 'prototypes.0.units.1.serial', 'prototypes.0.units.1.note'],
        ...['audiences.1.name', 'audiences.1.listeners', 'method.spec.turns', 'sessions.count', 'noPreference.offered'],
        ...['noPreference.rule', 'risks.alpha', 'risks.beta', 'risks.smallest.value', 'risks.sides', 'primary.first'],
        ...['primary.second', 'handling', 'playback', 'tips', 'timing.listen', 'timing.swap', 'timing.fit'],
        ...['timing.answer', 'do', 'levels.staleDays', 'sound.match.kind', 'sound.wireless'],
      ]),
    );
    expect(form.querySelector('button')?.getAttribute('value')).toBe('save');
    const does = [...form.querySelectorAll('button[name="do"]')].map((b) => b.getAttribute('value'));
    expect(does).toEqual(
      expect.arrayContaining([
        'add-prototype',
        'remove-prototype:3',
        'add-unit:1',
        'remove-unit:1.2',
        'add-audience',
        'remove-audience:2',
      ]),
    );
    expect(names(formTo(page('plan/plan/normal'), '/lock'))).toEqual(['_csrf', 'passphrase', 'passphraseAgain']);
  });

  test('what plays decides what is shown; what isn’t shown is sent all the same', () => {
    const shown = (example: string, what: string) =>
      [...formTo(page(`plan/plan/${example}`), '/plan').querySelectorAll(what)].map(
        (one) => !one.hasAttribute('hidden'),
      );
    const each: [example: string, handed: boolean, renders: boolean, plays: boolean, levels: boolean][] = [
      ['normal', true, false, false, true],
      ['renders', false, true, true, false],
      ['seat-player-impressions', true, false, true, true],
    ];
    for (const [example, ...expected] of each) {
      const parts = ['[data-handed]', '[data-renders]', '[data-plays]', '[data-levels]'].map((what) =>
        shown(example, what),
      );
      for (const [i, part] of parts.entries()) expect(new Set(part)).toEqual(new Set([expected[i]]));
    }
    const sent = names(formTo(page('plan/plan/renders'), '/plan'));
    expect(sent).toEqual(
      expect.arrayContaining(['excerpts.1.name', 'prototypes.0.units.0.serial', 'handling', 'timing.swap', 'do']),
    );
    expect(names(formTo(page('plan/plan/seat-player-impressions'), '/plan'))).not.toContain('sound.minimumSeconds');
  });

  test('each method has its own fields, its own buttons, and no others', () => {
    const own: [string, string[], string[]][] = [
      [
        'normal',
        ['method.spec.turns', 'noPreference.rule', 'risks.sides', 'timing.listen'],
        ['method.spec.trials', 'primary.scale'],
      ],
      [
        'abx',
        ['method.spec.trials', 'timing.answer'],
        ['method.spec.turns', 'noPreference.rule', 'risks.sides', 'primary.first'],
      ],
      [
        'impressions',
        [
          ...['name', 'low', 'high', 'points', 'polarity'].map((name) => `method.spec.scales.2.${name}`),
          ...['windowSeconds', 'answerSeconds', 'reset.kind', 'reset.seconds', 'reset.item'].map(
            (name) => `firstImpression.${name}`,
          ),
          ...['controls.hiddenRepeats', 'primary.first', 'primary.scale', 'timing.swap'],
        ],
        ['method.spec.turns', 'method.spec.trials', 'timing.listen', 'risks.sides', 'noPreference.rule'],
      ],
    ];
    for (const [example, has, hasNot] of own) {
      const form = formTo(page(`plan/plan/${example}`), '/plan');
      const common = [
        'aim',
        'method.id',
        'sessions.minimumGapHours',
        'sessions.maximumSpanDays',
        'sessions.missed',
        'checkIn.loud-sound',
      ];
      expect(names(form)).toEqual(expect.arrayContaining([...common, ...has, 'risks.smallest.value']));
      expect(names(form).filter((name) => hasNot.includes(name))).toEqual([]);
      const does = [...form.querySelectorAll('button[name="do"]')].map((b) => b.getAttribute('value'));
      expect(does.filter((one) => one?.startsWith('aim:'))).toHaveLength(4);
      // Of other methods those that answer the same.
      const others = { normal: 5, abx: 8, impressions: 8 }[example];
      expect(does.filter((one) => one?.startsWith('method:'))).toHaveLength(others ?? -1);
      expect(does.includes('add-scale:warmth') && does.includes('remove-scale:3')).toBe(example === 'impressions');
      expect(form.querySelectorAll('.method[aria-pressed="true"]')).toHaveLength(1);
    }
    // ABX has two prototypes, so there is no third to add and no pair to choose.
    expect(page('plan/plan/abx').querySelector('button[value="add-prototype"]')).toBeNull();
    expect(page('plan/plan/impressions-six').querySelector('button[value="add-scale"]')).toBeNull();
    expect(page('plan/plan/impressions-six').querySelector('.caution')?.textContent).toContain(
      '6 scales are two pages',
    );
  });

  test('pain and ringing can’t be waved through', () => {
    const rules = (condition: string) =>
      [...page('plan/plan/normal').querySelectorAll(`select[name="checkIn.${condition}"] option`)].map((o) =>
        o.getAttribute('value'),
      );
    expect([rules('pain'), rules('ringing')]).toEqual(Array(2).fill(['mark', 'postpone']));
    expect(rules('tiredness')).toEqual(['pass', 'mark', 'postpone']);
  });

  test('an incomplete plan can not be locked, nor rehearsed, and says why', () => {
    const actions = (example: string) =>
      [...page(`plan/plan/${example}`).querySelectorAll('form')].map((f) =>
        f.getAttribute('action')?.split('/').at(-1),
      );
    expect(actions('empty')).not.toContain('rehearsal');
    expect(actions('normal')).toContain('rehearsal');

    const document = page('plan/plan/empty');
    expect([...document.querySelectorAll('form')].some((f) => f.getAttribute('action')?.endsWith('/lock'))).toBe(false);
    expect(document.querySelectorAll('.still-open a')).toHaveLength(document.querySelectorAll('.still-open li').length);
    expect(document.querySelectorAll('.still-open a')).toHaveLength(7);
  });

  test('outside listening, by listener and prototype', () => {
    const form = formTo(page('plan/exposure/normal'), '/exposure');
    expect(names(form)).toEqual(['_csrf', 'listener', 'prototype', 'times', 'how']);
    expect(page('plan/exposure/done').querySelector('form[action$="/exposure"]')).toBeNull();
  });

  test('the sheet asks for understanding only where opening breaks the blind', () => {
    expect(names(formTo(page('prepare/prepare/normal'), '/open'))).toEqual(['_csrf', 'session', 'passphrase']);
    expect(names(formTo(page('prepare/prepare/clash'), '/open'))).toEqual([
      '_csrf',
      'session',
      'passphrase',
      'understood',
    ]);
  });

  test('the desk', () => {
    const document = page('run/desk/normal');
    const expected: Record<string, string[]> = {
      '/hand-over': ['_csrf', 'sitting', 'give', 'takeBack'],
      '/take-back': ['_csrf', 'sitting', 'code'],
      '/seat': ['_csrf', 'sitting'],
      '/void': ['_csrf', 'trial', 'text', 'reason'],
      '/seat-out': ['_csrf', 'sitting'],
      '/pause': ['_csrf'],
      '/close-session': ['_csrf'],
    };
    for (const [end, fields] of Object.entries(expected)) expect(names(formTo(document, end)), end).toEqual(fields);
    expect(names(document.querySelector('#incident-form'))).toEqual(['_csrf', 'text', 'category']);
    expect(names(document.querySelector(`#incident-${sitting(1)}`))).toEqual(['_csrf', 'seat', 'text', 'category']);
    expect(names(formTo(page('run/desk/wrong'), '/single-blind'))).toEqual(['_csrf', 'reason']);
    expect(names(formTo(document, '/check-in-again'))).toEqual(['_csrf', 'sitting']);
    expect(names(formTo(page('run/panel/normal'), '/card'))).toEqual(['_csrf', 'listener']);
    expect(names(formTo(page('run/close-session/normal'), '/close-session'))).toEqual(['_csrf', 'understood']);
  });

  test('review', () => {
    expect(names(formTo(page('review/close/normal'), '/close'))).toEqual(['_csrf', 'understood']);
    expect(names(formTo(page('review/unseal/normal'), '/unseal'))).toEqual(['_csrf', 'passphrase']);
    expect(names(formTo(page('review/verdict/normal'), '/sign'))).toEqual([
      '_csrf',
      'findings',
      'meaning',
      'reason',
      'password',
      'decision',
    ]);
    expect(
      [...page('review/verdict/signed').querySelectorAll('form')].some((f) =>
        f.getAttribute('action')?.endsWith('/sign'),
      ),
    ).toBe(false);
  });
});

describe('the desk', () => {
  test('by itself is the part inside its page', () => {
    for (const { name, model } of desk.examples) {
      const inside = page(`run/desk/${name}`).querySelector('[data-part]')?.innerHTML.trim();
      const alone = parseHTML(`<div>${views.part('run/parts/desk', model.desk)}</div>`)
        .document.querySelector('div')
        ?.innerHTML.trim();
      expect(alone).toBe(inside);
    }
  });

  test('puts what needs a hand before everything else, and the first one says it whole', () => {
    const document = page('run/desk/normal');
    const firstForm = document.querySelector('.desk-main form');
    expect(firstForm?.querySelector('.hand-words')?.textContent?.replace(/\s+/g, ' ')).toBe(
      'Seat 3 give 4 1 7 take back 5 0 2',
    );
    expect(document.querySelectorAll('.hand-held-up button')).toHaveLength(0);
  });

  test('shows the way in when nobody is seated, and folds it away otherwise', () => {
    expect(page('run/desk/nobody-seated').querySelector('.desk-main .join .qr svg')).not.toBeNull();
    const normal = page('run/desk/normal');
    expect(normal.querySelector('.desk-main .qr')).toBeNull();
    expect(normal.querySelector('details#join:not([open]) .qr svg')).not.toBeNull();
  });

  test('an incident takes two taps: open, and a category', () => {
    const buttons = page('run/desk/normal').querySelectorAll('details#incident button[name="category"]');
    expect(buttons).toHaveLength(6);
  });

  test('Enter in a field of words picks no category and no reason', () => {
    for (const id of ['#incident-form', `#incident-${sitting(1)}`, `#void-${sitting(1)}`]) {
      expect(page('run/desk/normal').querySelector(`${id} button`)?.hasAttribute('disabled'), id).toBe(true);
    }
  });

  test('says of whoever was put off only that, and offers no seat', () => {
    const put = [...page('run/desk/normal').querySelectorAll('.arrival')].find((one) =>
      one.querySelector('[id^="again-"]'),
    );
    expect(put?.querySelector('p')?.textContent?.replace(/\s+/g, ' ')).toBe('Crake Home · postponed at check-in');
    expect(put?.querySelectorAll('form')).toHaveLength(1);
  });

  test('names who is due when no session is open', () => {
    const due = [...page('run/desk/done').querySelectorAll('.due li')].map((one) =>
      one.textContent?.replace(/\s+/g, ' '),
    );
    expect(due.slice(1)).toEqual(['Heron Stage', 'Otter Home', 'Wren Home']);
    expect(due[0]).toContain('overdue');
  });

  test('of somebody who opened the sheet shows no session', () => {
    expect(page('run/desk/wrong').querySelectorAll('.hand, .seat, .qr')).toHaveLength(0);
  });
});

describe('the panel', () => {
  test('of somebody who opened the sheet shows nobody', () => {
    expect(page('run/panel/wrong').querySelectorAll('.panel-line, form[action$="/card"]')).toHaveLength(0);
  });

  test('offers a card to whoever has a sitting to come', () => {
    const lines = [...page('run/panel/normal').querySelectorAll('.panel-line')];
    const cards = lines
      .filter((line) => line.querySelector('form'))
      .map((line) => line.querySelector('strong')?.textContent);
    expect(cards).toEqual(['Heron', 'Otter', 'Plover', 'Wren', 'Siskin']);
  });

  test('a card has no study around it, since paper carries the title of the page', () => {
    const document = page('run/card/normal');
    expect(document.title).toBe('Card for Heron · Fair Hearing');
    expect(document.querySelector('.study')).toBeNull();
    expect(document.querySelector('.listener-card')?.textContent).toMatch(/not a hearing test/i);
  });
});

describe('the verdict', () => {
  test('says how blind it was before it says what was found', () => {
    const text = page('review/verdict/normal').querySelector('.letter')?.textContent ?? '';
    expect(text.indexOf('Double blind')).toBeGreaterThan(0);
    expect(text.indexOf('Double blind')).toBeLessThan(text.indexOf('Preferred'));
  });

  test('gives a prototype its symbol beside its hue everywhere', () => {
    for (const mark of page('review/verdict/crowded').querySelectorAll('table .symbol, .words .symbol')) {
      expect(mark.className).toMatch(/\bhue-[1-8]\b/);
      expect(mark.textContent).toMatch(/\S/);
    }
  });

  test('has a table beside each chart', () => {
    for (const chart of page('review/verdict/normal').querySelectorAll('.chart')) {
      expect(chart.closest('section')?.querySelector('table')).not.toBeNull();
    }
  });
});
