/**
 * The flow drawn: a box a step, what was lost on the way to the next branching off to the side. Under each count a bar, as
 * long as the part of the first box that is left. Coloured by the style sheet alone.
 */

export interface FlowStep {
  count: number;
  label: string;
  /** Said of those in the box; nothing is lost by it. */
  of: string[];
  /** What the next box has less, or more. */
  changes: { count: number; words: string; more?: true }[];
}

export interface FlowColumn {
  heading: string;
  steps: FlowStep[];
}

const column = { width: 312, box: 152, side: 172 };
const type = { line: 16, count: 22, boxChars: 21, sideChars: 20 };
const padding = 10;

/** The same picture twice: columns beside each other, and one below the other for a narrow page. */
export function flowPicture(name: string, columns: readonly FlowColumn[]): string {
  const drawn = columns.map(drawColumn);
  const wide = {
    width: columns.length * column.width + (columns.length - 1) * 16,
    height: Math.max(...drawn.map(({ height }) => height)),
    parts: drawn.map(({ svg }, i) => moved(i * (column.width + 16), 0, svg)),
  };
  let y = 0;
  const stacked = drawn.map(({ svg, height }) => {
    const part = moved(8, y, svg);
    y += height + 20;
    return part;
  });
  const narrow = { width: column.width + 16, height: Math.max(0, y - 20), parts: stacked };
  return `<div class="chart-wide">${svgOf(name, wide)}</div><div class="chart-narrow">${svgOf(name, narrow)}</div>`;
}

const svgOf = (name: string, { width, height, parts }: { width: number; height: number; parts: string[] }): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${safe(name)}" class="flow-picture" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}">${parts.join('')}</svg>`;

const moved = (x: number, y: number, svg: string): string => `<g transform="translate(${x},${y})">${svg}</g>`;

function drawColumn({ heading, steps }: FlowColumn): { svg: string; height: number } {
  const most = Math.max(1, ...steps.map(({ count }) => count));
  const parts = [textAt(0, 16, heading, 'flow-heading')];
  let y = 28;
  steps.forEach((step, i) => {
    const words = [step.label, ...step.of].flatMap((one) => wrapped(one, type.boxChars));
    const labelLines = wrapped(step.label, type.boxChars).length;
    const height = padding + type.count + words.length * type.line + padding;
    parts.push(
      `<rect class="flow-box" x="0.5" y="${y + 0.5}" width="${column.box - 1}" height="${height - 1}" rx="4"/>`,
      `<rect class="flow-left" x="${padding}" y="${y + height - 7}" width="${round(((column.box - 2 * padding) * step.count) / most)}" height="3"/>`,
      textAt(padding, y + padding + 16, thousands(step.count), 'flow-count'),
      ...words.map((line, at) =>
        textAt(
          padding,
          y + padding + type.count + at * type.line + 10,
          line,
          at < labelLines ? 'flow-label' : 'flow-of',
        ),
      ),
    );
    y += height;
    if (i === steps.length - 1) return;
    const sides = step.changes.map(({ count, words: said, more }) =>
      wrapped(`${more ? '+' : '\u2212'}\u2009${thousands(count)} ${said}`, type.sideChars),
    );
    const tall = sides.reduce((sum, lines) => sum + lines.length * type.line + 6, 0);
    const gap = Math.max(24, tall + 10);
    const middle = column.box / 2;
    parts.push(`<path class="flow-way" d="M${middle},${y} V${y + gap - 2} m-4,-6 l4,6 l4,-6"/>`);
    let at = y + 8;
    for (const lines of sides) {
      parts.push(
        `<path class="flow-way" d="M${middle},${at + 7} H${column.side - 6} m-5,-4 l5,4 l-5,4"/>`,
        ...lines.map((line, n) => textAt(column.side, at + 11 + n * type.line, line, 'flow-change')),
      );
      at += lines.length * type.line + 6;
    }
    y += gap;
  });
  return { svg: parts.join(''), height: y + 2 };
}

const round = (value: number): number => Math.round(value * 10) / 10;
const thousands = (count: number): string => count.toLocaleString('en');
const textAt = (x: number, y: number, words: string, className: string): string =>
  `<text class="${className}" x="${x}" y="${y}">${safe(words)}</text>`;

const safe = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

/** In lines of about so many letters; a longer word is broken, since nothing may run out of the picture. */
function wrapped(words: string, chars: number): string[] {
  const lines: string[] = [];
  for (const word of words.split(' ').flatMap((one) => one.match(new RegExp(`.{1,${chars}}`, 'gu')) ?? [])) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= chars) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
