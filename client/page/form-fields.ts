/** The fields of a form as a browser sends them itself. */
export function formFields(form: HTMLFormElement, pressed?: HTMLElement | null): URLSearchParams {
  const fields = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (typeof value === 'string') fields.append(name, value);
  if (pressed instanceof HTMLButtonElement && pressed.name) fields.append(pressed.name, pressed.value);
  return fields;
}
