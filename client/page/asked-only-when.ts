/**
 * What matters only while something else stands in the form is asked only then. What it says is sent all the same, so
 * that nothing typed is lost.
 */
export function followForm(form: HTMLFormElement): void {
  const field = (name: string) => form.querySelector<HTMLInputElement>(`[name="${name}"]`);
  const chosen = (name: string) => new FormData(form).get(name);
  const playback = () => chosen('playback');
  const rules: [what: string, when: () => boolean][] = [
    ['[data-no-preference-rule]', () => field('noPreference.offered')?.checked ?? true],
    ['[data-reset-item]', () => chosen('firstImpression.reset.kind') !== 'silence'],
    ['[data-liking]', () => field('method.spec.liking.asked')?.checked ?? true],
    ['[data-closing-words]', () => field('closingQuestion.asked')?.checked ?? true],
    // As `shared/plan.ts` has them: what is handed over, what the page plays, and whose level is measured.
    ['[data-handed]', () => playback() !== 'renders'],
    ['[data-renders]', () => playback() === 'renders'],
    ['[data-plays]', () => playback() === 'renders' || playback() === 'seat-player'],
    ['[data-levels]', () => playback() !== 'renders' && playback() !== 'none'],
    ['[data-band]', () => chosen('sound.match.kind') === 'band'],
    ['[data-bounds]', () => chosen('looks.kind') === 'sequential'],
    ['[data-verdict-range]', () => chosen('verdictDays') === 'range'],
    ['[data-several]', () => field('sessions.count')?.value.trim() !== '1'],
  ];
  const follow = () => {
    for (const [what, when] of rules) {
      const asked = when();
      for (const part of form.querySelectorAll<HTMLElement>(what)) {
        // What is wrong is shown, wherever it stands.
        part.hidden = !asked && !part.querySelector('.error');
      }
    }
  };
  form.addEventListener('input', follow);
  form.addEventListener('change', follow);
  follow();
}
