/**
 * “None of these” and “I would rather not say” each stand alone: ticking one unticks the rest, and ticking anything
 * else unticks them. Without this the server says so.
 */
export function prepareCheckIn(): void {
  const alone = ({ value }: HTMLInputElement): boolean => value === 'none' || value === 'unsaid';
  // The form may come by the line, long after the page.
  document.addEventListener('change', ({ target: box }) => {
    if (!(box instanceof HTMLInputElement) || box.name !== 'conditions' || !box.checked) return;
    for (const other of document.querySelectorAll<HTMLInputElement>('input[name="conditions"]')) {
      if (other !== box && (alone(box) || alone(other))) other.checked = false;
    }
  });
}
