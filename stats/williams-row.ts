/**
 * Rows of a Latin square of order m in which neighbours vary (Williams 1949, Australian Journal of Scientific
 * Research A 2:149–168): each place holds each of 0 … m − 1 once over the rows 0 … m − 1. With an even m each ordered
 * pair of neighbours comes once over these rows; with an odd m it comes twice over these and their mirror images.
 */
export function williamsRow(m: number, row: number): number[] {
  return Array.from({ length: m }, (_, place) => {
    const step = place % 2 === 1 ? (place + 1) / 2 : (m - place / 2) % m;
    return (step + row) % m;
  });
}
