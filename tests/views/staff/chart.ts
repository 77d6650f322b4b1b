/** A drawing with the classes that charts use, from invented figures: [name, score, lower, upper]. */
export function exampleChart(rows: [string, number, number, number][]): string {
  const x = (value: number) => 170 + (value + 2) * 110;
  const height = rows.length * 36 + 40;
  const marks = rows
    .map(([name, score, lower, upper], i) => {
      const y = 30 + i * 36;
      const hue = `hue-${i + 1}`;
      return `<text x="8" y="${y + 5}">${name}</text><line class="${hue}" x1="${x(lower)}" x2="${x(upper)}" y1="${y}" y2="${y}" stroke-width="2"/><circle class="${hue}" cx="${x(score)}" cy="${y}" r="7"/>`;
    })
    .join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 ${height}" role="img" aria-label="Scores with 95 % intervals"><line class="chart-zero" x1="${x(0)}" x2="${x(0)}" y1="10" y2="${height - 30}"/><text class="chart-note" x="${x(0) + 6}" y="${height - 12}">0: the average of the prototypes</text>${marks}</svg>`;
}
