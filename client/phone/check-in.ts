/**
 * “None of these” and “I would rather not say” each stand alone: ticking one unticks the rest, and ticking anything
 * else unticks them. Without this the server says so.
 */
export function prepareCheckIn(): void {
  const boxes = [...document.querySelectorAll<HTMLInputElement>('input[name="conditions"]')];
  const alone = ({ value }: HTMLInputElement): boolean => value === 'none' || value === 'unsaid';
  for (const box of boxes) {
    box.addEventListener('change', () => {
      if (!box.checked) return;
      for (const other of boxes) if (other !== box && (alone(box) || alone(other))) other.checked = false;
    });
  }
}
