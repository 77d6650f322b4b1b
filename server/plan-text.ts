import type { Plan } from '../shared/plan';
import { planRows } from './plan-rows';

/** A plan as plain text, line by line as the locked plan and the method section of the report have it. */
export function planText(plan: Plan): string {
  const rows = planRows(plan);
  const width = Math.max(...rows.map(({ label }) => label.length)) + 2;
  return `${plan.title}\n\n${rows.map(({ label, value }) => `${label.padEnd(width)}${value}`).join('\n')}\n`;
}
