import { parseHTML } from 'linkedom';
import { expect, test } from 'vitest';
import { readingOf } from '../../server/review/computing/reading';
import { findingsHash, findingsOf } from '../../server/review/findings';
import { reportOf } from '../../server/review/report';
import { createViews } from '../../server/web/views';
import type { Plan } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import { recordOfLines } from '../blinding/hand-ledger';
import { randomStudy } from './random-study';

const hostile = '</style><script>alert(1)</script>"};@import url(//x.example/a.css)';
const plan: Plan = {
  ...aPlan({
    method: 'paired-preference',
    names: ['<b>Wide</b> vent', '=1+1', 'Third & "last"'],
    trials: 3,
    sessions: 2,
    audiences: [
      ['home', 4],
      ['stage', 3],
    ],
  }),
  title: hostile,
};

function signed(): StudyRecord {
  const { record, lines } = randomStudy(plan, {
    seed: 5,
    spoilt: 0.1,
    leave: 0.05,
    miss: 0.2,
    words: 0.5,
    excluded: 0.2,
  });
  const hash = findingsHash(findingsOf(record));
  const decision = { name: 'Ada', meaning: 'approved', reason: 'Enough for me', findingsHash: hash };
  return recordOfLines([...lines, ['staff:Ada', 'signed', decision]]);
}

const record = signed();
const findings = findingsOf(record);
/** The real one, with its fonts, is in tests/browser/report.test.ts and report-style.test.ts. */
const style = 'main { color: black }';
const html = reportOf(record, readingOf(record), createViews(), style);
const { document } = parseHTML(html);
const text = (document.querySelector('main')?.textContent ?? '').replaceAll(/\s+/g, ' ');

test('nothing in it leads out of it, runs or can be pressed', () => {
  expect(document.querySelectorAll('script, link, iframe, img, form, button, input, object, embed, base').length).toBe(
    0,
  );
  const leading = [...document.querySelectorAll('*')].flatMap((element) =>
    element
      .getAttributeNames()
      .filter((name) => /^(href|src|srcset|action|data|poster|xlink:href|on\w+|style)$/.test(name))
      .map((name) => [name, element.getAttribute(name) ?? '']),
  );
  expect(leading.filter(([name, value]) => name !== 'href' || !/^#[\w*-]+$/.test(value ?? ''))).toEqual([]);
  expect(leading.length).toBeGreaterThan(5);
  expect(html.match(/<meta http-equiv="Content-Security-Policy" content="default-src 'none'; [^"]*">/)).not.toBeNull();
});

test('names and title are text and nothing else, in the page, in its pictures and in its style', () => {
  expect(html.match(/<\/style>/g)).toHaveLength(1);
  expect(html.includes('<b>Wide</b>')).toBe(false);
  const styles = html.slice(html.indexOf('<style>'), html.indexOf('</style>'));
  expect(styles.includes('x.example/a.css)') || styles.includes('@import')).toBe(false);
  expect(text).toContain('<b>Wide</b> vent');
  expect(document.title).toContain(hostile);
});

test('every way within it leads somewhere, and no id stands twice', () => {
  const ids = [...document.querySelectorAll('[id]')].map(({ id }) => id);
  expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
  const ways = [...document.querySelectorAll('a[href]')].map((one) => one.getAttribute('href')?.slice(1) ?? '');
  expect(ways.filter((way) => !ids.includes(way))).toEqual([]);
  // Without a script nothing that folds could be opened on paper.
  expect(document.querySelectorAll('details:not([open])').length).toBe(0);
});

test('it has everything that it is asked for, in one order', () => {
  const headings = [...document.querySelectorAll('h2')].map((one) => one.textContent.trim());
  const wanted = [
    'Figures: Home',
    'Figures: Stage',
    'In the listeners’ words',
    'Was it blind?',
    'Who came, and what was lost',
    'What was left out',
    'Incidents',
    'Planned, and done',
    'How it was done',
    'Signed',
    'How to check it',
  ];
  expect(headings.filter((one) => wanted.includes(one))).toEqual(wanted);
  for (const words of [
    'Ada',
    'Enough for me',
    findingsHash(findings),
    record.ledger.at(-1)?.hash,
    findings.plan.hash,
  ]) {
    expect(text).toContain(words);
  }
  expect(text).toContain('npm run -s fh -- check');
  expect(document.querySelectorAll('svg.flow-picture').length).toBe(4);
});

test('the same record gives the same bytes; a changed one is said to be changed', () => {
  expect(reportOf(record, readingOf(record), createViews(), style) === html).toBe(true);
  const ledger = record.ledger.map((entry, i) => (i === 5 ? { ...entry, actor: 'staff:Eve' } : entry));
  const other = { ...record, ledger };
  const changed = reportOf(other, readingOf(other), createViews(), style);
  expect(changed.includes('The record was changed at entry 6: nothing here can be trusted.')).toBe(true);
  expect(html.includes('nothing here can be trusted')).toBe(false);
});

test('before anybody has decided, it says so', () => {
  const undecided = recordOfLines(randomStudy(plan, { seed: 5 }).lines);
  expect(reportOf(undecided, readingOf(undecided), createViews(), '')).toContain(
    'Neither signed nor refused when this report was made.',
  );
});
