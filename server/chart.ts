import * as Plot from '@observablehq/plot';
import { parseHTML } from 'linkedom';

/** Pictures drawn on the server as SVG without a style of their own: the page's style sheet colours them. */

export interface Size {
  width: number;
  /** For a phone: what stands beside the drawing on a wide screen goes above it. */
  narrow: boolean;
}

/** The same picture twice, each to be read where it is shown. */
export function twice(name: string, options: (size: Size) => Plot.PlotOptions): string {
  const drawn = [640, 328].map((width) => draw(name, options({ width, narrow: width < 480 }), width));
  return `<div class="chart-wide">${drawn[0]}</div><div class="chart-narrow">${drawn[1]}</div>`;
}

/** One picture of that width, with a name for screen readers. */
export function draw(name: string, options: Plot.PlotOptions, width: number): string {
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  return clean(Plot.plot({ ...options, width, document: document as unknown as Document }), name);
}

/** Out with everything that a strict policy for styles refuses; in with a name for screen readers. */
function clean(figure: Element, name: string): string {
  for (const style of figure.querySelectorAll('style')) style.remove();
  for (const element of [figure, ...figure.querySelectorAll('[style]')]) element.removeAttribute('style');
  // The picture has one name; groups inside it may not have their own.
  for (const element of figure.querySelectorAll('[aria-label]')) element.removeAttribute('aria-label');
  // As text, since the name of a prototype may hold anything, and an attribute is not escaped for it everywhere.
  const text = name.replaceAll('&', '&amp;').replaceAll('"', '&quot;').replaceAll('<', '&lt;');
  return figure.outerHTML.replace(
    '<svg ',
    () => `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${text}" `,
  );
}
