/** Where words stand beside what they name, so that they cover neither each other nor a mark. */

export interface ToLabel {
  /** In pixels, y downward. */
  x: number;
  y: number;
  words: string;
  /** Half the size of the mark that it names; 0 for the end of a line. */
  mark: number;
}

export interface Placed {
  anchor: 'start' | 'middle' | 'end';
  dx: number;
  dy: number;
}

interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** Of the letters of a picture, about. */
const letter = { width: 8.2, height: 17 } as const;

/**
 * One place for each: to the right, left, above or below, the first at which least is covered, in the order given.
 * @param within width and height that words may not leave
 */
export function labelPlaces(all: readonly ToLabel[], within: { width: number; height: number }): Placed[] {
  const taken: Box[] = all.map(({ x, y, mark }) => ({ x: x - mark, y: y - mark, width: 2 * mark, height: 2 * mark }));
  return all.map((one, own) => {
    const width = one.words.length * letter.width;
    const off = one.mark + 4;
    const places: (Placed & { cost: number; box: Box })[] = (
      [
        ['start', off, 0],
        ['end', -off, 0],
        ['middle', 0, -off - letter.height / 2],
        ['middle', 0, off + letter.height / 2],
        ['start', off, -letter.height],
        ['start', off, letter.height],
        ['end', -off, -letter.height],
        ['end', -off, letter.height],
      ] as const
    ).map(([anchor, dx, dy]) => {
      const left = one.x + dx - { start: 0, middle: width / 2, end: width }[anchor];
      const box = { x: left, y: one.y + dy - letter.height / 2, width, height: letter.height };
      const outside =
        Math.max(0, -box.x) +
        Math.max(0, box.x + width - within.width) +
        Math.max(0, -box.y) +
        Math.max(0, box.y + box.height - within.height);
      const covered = taken.reduce((sum, other, i) => sum + (i === own ? 0 : overlap(box, other)), 0);
      return { anchor, dx, dy, box, cost: covered + outside * letter.height };
    });
    const best = places.reduce((least, place) => (place.cost < least.cost - 1e-9 ? place : least));
    taken.push(best.box);
    return { anchor: best.anchor, dx: best.dx, dy: best.dy };
  });
}

function overlap(a: Box, b: Box): number {
  const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const high = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return wide > 0 && high > 0 ? wide * high : 0;
}
