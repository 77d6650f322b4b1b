/** What the analysis does with "no preference" is asked only while it is offered. */
export function followNoPreference(form: HTMLFormElement): void {
  const offered = form.querySelector<HTMLInputElement>('[name="noPreference.offered"]');
  const rule = form.querySelector<HTMLElement>('[data-no-preference-rule]');
  if (!offered || !rule) return;
  const follow = () => {
    rule.hidden = !offered.checked;
  };
  offered.addEventListener('change', follow);
  follow();
}
