/** One line on top of the desk that says when what is shown may be out of date. */
export function liveLine(desk: HTMLElement): { up(): void; down(): void } {
  const line = desk.querySelector<HTMLElement>('[data-line]');
  const say = (words: string) => {
    // The same words twice would be read out twice.
    if (line && line.textContent !== words) line.textContent = words;
  };
  return {
    up: () => say(''),
    down: () => say('The connection to the server is lost. What stands here may be out of date; trying again.'),
  };
}
