import { expect, test } from 'vitest';
import { enoughPages } from './enough-pages';

const page = (path: string, body: string, view = 'a') => ({ path, view, html: `<html><body>${body}</body></html>` });
const chosen = (...pages: Parameters<typeof enoughPages>[0]) => enoughPages(pages);

test('what is built of the same is looked at once, whatever it says and wherever it leads', () => {
  const one = page('one', '<main><p id="x">Some words</p><a href="/x">Go</a></main>');
  expect(chosen(one, page('two', '<main><p id="y">Some other</p><a href="/y">On</a></main>'))).toEqual(['one']);
});

test.each([
  ['another kind of element', '<main><p>Same</p><b>as</b></main>'],
  ['another class', '<main><p class="warn">Same</p></main>'],
  ['the same in another place', '<main><p>Same</p><div><p>Same</p></div></main>'],
  ['what a reader is told', '<main><p aria-hidden="true">Same</p></main>'],
  ['a longer word', '<main><p>Somewhat</p></main>'],
  ['another heading', '<main><h1>As</h1><h3>is</h3></main>'],
])('%s is looked at', (_, body) => {
  expect(chosen(page('plain', '<main><p>Same</p></main>'), page('other', body))).toContain('other');
});

test('a row with more cells, and each view, is looked at', () => {
  const row = (path: string, cells: number, view: string) =>
    page(path, `<table><tr>${'<td>1</td>'.repeat(cells)}</tr></table>`, view);
  expect(chosen(row('two', 2, 'a'), row('three', 3, 'a'), row('one', 1, 'b')).sort()).toEqual(['one', 'three']);
});

test('one page that shows it all is enough', () => {
  const parts = ['<p>1</p>', '<b>2</b>', '<i>3</i>'];
  const pages = parts.map((body, at) => page(`part ${at}`, body));
  expect(chosen(...pages, page('all', parts.join('')))).toEqual(['all']);
});
