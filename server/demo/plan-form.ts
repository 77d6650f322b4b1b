import type { Form, Page } from './page';
import { textOf } from './page';

/** A plan as a person has it in mind: names, not ids. */
export interface PlanInMind {
  title: string;
  question: string;
  prototypes: { name: string; units: { serial: string; note?: string }[] }[];
  audiences: { name: string; listeners: number }[];
  turns: number;
  sessions?: number;
  handling: 'two-person' | 'day-code' | 'solo';
  playback?: 'bench-player' | 'seat-device' | 'none';
  tips?: 'own-tips' | 'cleaned-tips' | 'tip-is-prototype';
  noPreference?: 'split' | 'drop';
  alpha?: number;
  beta?: number;
  smallest?: number;
  sides?: 'two-sided' | 'one-sided';
  primary?: [first: string, second: string];
}

/** The next button to press so that the page has a place for everything, or null when it has. */
export function nextButton(page: Page, plan: PlanInMind): string | null {
  const shown = page.all('fieldset.prototype').map((one) => one.querySelectorAll('.unit').length);
  if (shown.length < plan.prototypes.length) return 'add-prototype';
  if (shown.length > plan.prototypes.length) return `remove-prototype:${shown.length}`;
  for (const [index, { units }] of plan.prototypes.entries()) {
    const there = shown[index] ?? 0;
    if (there < units.length) return `add-unit:${index + 1}`;
    if (there > units.length) return `remove-unit:${index + 1}.${there}`;
  }
  const audiences = page.all('fieldset.audience').length;
  if (audiences < plan.audiences.length) return 'add-audience';
  if (audiences > plan.audiences.length) return `remove-audience:${audiences}`;
  return null;
}

/** The form of the plan page as it is sent, filled in. */
export function filledIn(form: Form, page: Page, plan: PlanInMind): Record<string, string> {
  const fields: Record<string, string> = {
    ...form.fields,
    title: plan.title,
    question: plan.question,
    'method.spec.turns': String(plan.turns),
    handling: plan.handling,
    do: 'save',
  };
  plan.prototypes.forEach(({ name, units }, i) => {
    fields[`prototypes.${i}.name`] = name;
    units.forEach(({ serial, note }, j) => {
      fields[`prototypes.${i}.units.${j}.serial`] = serial;
      fields[`prototypes.${i}.units.${j}.note`] = note ?? '';
    });
  });
  plan.audiences.forEach(({ name, listeners }, i) => {
    fields[`audiences.${i}.name`] = name;
    fields[`audiences.${i}.listeners`] = String(listeners);
  });
  const given: [string, string | number | undefined][] = [
    ['sessions.count', plan.sessions],
    ['playback', plan.playback],
    ['tips', plan.tips],
    ['noPreference.rule', plan.noPreference],
    ['noPreference.offered', plan.noPreference && 'yes'],
    ['risks.alpha', plan.alpha],
    ['risks.beta', plan.beta],
    ['risks.smallest.value', plan.smallest],
    ['risks.sides', plan.sides],
    ['primary.first', plan.primary && optionOf(page, 'primary.first', plan.primary[0], plan)],
    ['primary.second', plan.primary && optionOf(page, 'primary.second', plan.primary[1], plan)],
  ];
  for (const [name, value] of given) if (value !== undefined) fields[name] = String(value);
  return fields;
}

/** Options are named once the names are saved, and numbered before; they stand in the order of the plan. */
function optionOf(page: Page, select: string, name: string, plan: PlanInMind): string {
  const options = page.all(`select[name="${select}"] option`);
  const index = plan.prototypes.findIndex((prototype) => prototype.name === name);
  const found = options.find((option) => textOf(option) === name) ?? options[index];
  return found?.getAttribute('value') ?? '';
}
