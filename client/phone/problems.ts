import { say } from '../../shared/words/say';

/** The focus goes to what was wrong, so that it is read first. */
export function focusProblems(): void {
  document.querySelector<HTMLElement>('[data-problems]')?.focus();
}

/** Says above the place what became of something that was sent; while a sample plays, without speaking. */
export function showProblem(
  holder: HTMLElement,
  message: string,
  listening: boolean,
  heading = say('status.refused'),
): void {
  const box = document.createElement('div');
  box.className = 'problems';
  box.tabIndex = -1;
  box.dataset.problems = '';
  const title = document.createElement('h2');
  title.textContent = heading;
  const text = document.createElement('p');
  text.textContent = message;
  box.append(title, text);
  if (!listening) box.setAttribute('role', 'alert');
  holder.replaceChildren(box);
  if (!listening) box.focus();
}
