import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { jsonIn } from './json-in';

/** `plan PLAN`: whether it could be locked, its size, its minutes and what it finds; or where two plans differ. */
export const plan: Command = {
  name: 'plan',
  summary: 'Checks a plan: what stands against it, its size and minutes, what it finds; or compares two',
  usage: 'PLAN [--compare OTHER | --text | --listeners]',
  options: {
    compare: { type: 'string', summary: 'another plan: {same, differences: [{path, what, first, second}]}' },
    text: { type: 'boolean', summary: 'the plan in words, as in the method section of the report' },
    listeners: { type: 'boolean', summary: 'what listeners read, word for word' },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, ['PLAN']);
    const file = positionals[0] ?? '';
    const [checked, { planSummary, faulty }] = await Promise.all([
      checkedIn(file, 'PLAN', io),
      import('../plan/plan-summary'),
    ]);
    if (typeof options.compare === 'string') {
      const first = whole(checked, file, 'PLAN');
      const second = whole(await checkedIn(options.compare, '--compare', io), options.compare, '--compare');
      const { comparePlans } = await import('../plan/compare-plans');
      const differences = comparePlans(first, second);
      io.stdout.write(`${JSON.stringify({ same: differences.length === 0, differences }, null, 1)}\n`);
      return 0;
    }
    if (options.text === true) {
      const { planText } = await import('../plan-text');
      io.stdout.write(planText(whole(checked, file, 'PLAN')));
      return 0;
    }
    if (options.listeners === true) {
      const { instructionsText } = await import('../instructions');
      io.stdout.write(instructionsText(whole(checked, file, 'PLAN')));
      return 0;
    }
    const summary = checked.plan ? planSummary(checked.plan) : faulty(checked.problems);
    io.stdout.write(`${JSON.stringify(summary, null, 1)}\n`);
    return summary.problems.length === 0 ? 0 : 1;
  },
};

type Checked = { plan: Plan | null; problems: readonly Problem[] };

async function checkedIn(file: string, path: string, io: Io): Promise<Checked> {
  const raw = await jsonIn(file, path, 'a plan in JSON, see shared/formats/plan.schema.json', io);
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) {
    const allowed = 'a plan in JSON, see shared/formats/plan.schema.json';
    throw new BadInput({ code: 'not-a-plan', message: `${file} is not a plan.`, path, allowed, got: file });
  }
  const { checkPlan } = await import('../plan/check');
  return checkPlan(raw);
}

/** What is compared or told in words must be a plan without fault. */
function whole({ plan: found, problems }: Checked, file: string, path: string): Plan {
  if (found) return found;
  const [first] = problems;
  throw new BadInput({
    code: first?.code ?? 'not-a-plan',
    message: `${file}: ${first?.message ?? 'not a plan.'}`,
    path: first?.path ?? path,
    ...(first?.allowed === undefined ? {} : { allowed: first.allowed }),
    ...(first?.got === undefined ? {} : { got: first.got }),
  });
}
