import { availableParallelism } from 'node:os';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import type { TruthDocument } from '../../shared/truth';
import { type RehearsalTruth, rehearsalTruths } from '../rehearse';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { jsonIn } from './json-in';
import { onStopSignal, Stopped } from './stop-signal';

const most = { panels: 1_000_000, seed: 2 ** 32 - 1, threads: 64 };

/** `dry-run PLAN`: thousands of simulated panels play a plan, and what they find is told in shares. */
export const dryRun: Command = {
  name: 'dry-run',
  summary: 'Plays a plan with thousands of simulated panels and says how often each verdict comes out',
  usage: 'PLAN --panels N --seed S [--truth TRUTH]',
  options: {
    panels: { type: 'string', summary: 'how many panels play it, 1 to 1,000,000' },
    seed: { type: 'string', summary: 'a whole number; the same seed gives the same figures' },
    truth: {
      type: 'string',
      summary:
        'what there is to hear: “nothing” (and where it is left out), “smallest” (what the plan wants to find), “plain”, or a file',
    },
    threads: { type: 'string', summary: 'how many threads play (one for each core)' },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, ['PLAN']);
    const panels = numberOf(options.panels, '--panels', 1, most.panels);
    const seed = numberOf(options.seed, '--seed', 0, most.seed);
    const threads =
      options.threads === undefined ? availableParallelism() : numberOf(options.threads, '--threads', 1, most.threads);
    const plan = await planIn(positionals[0] ?? '', io);
    const truth = await truthFor(options.truth, plan, io);
    const { dryRun } = await import('../dry-run/dry-run');
    const stop = new AbortController();
    const heedNoMore = onStopSignal(() => stop.abort(new Stopped()));
    try {
      const found = await dryRun({ plan, truth, seed, panels }, { threads, signal: stop.signal });
      io.stdout.write(`${JSON.stringify(found, null, 2)}\n`);
      return 0;
    } catch (error) {
      if (error instanceof Stopped) return 1;
      throw error;
    } finally {
      heedNoMore();
    }
  },
};

function numberOf(given: string | boolean | undefined, path: string, min: number, max: number): number {
  const allowed = `a whole number from ${min} to ${max}`;
  if (given === undefined) {
    throw new BadInput({ code: 'missing-option', message: `${path} is missing: ${allowed}.`, path, allowed });
  }
  const value = typeof given === 'string' && /^\d{1,10}$/.test(given) ? Number(given) : Number.NaN;
  if (value >= min && value <= max) return value;
  throw new BadInput({
    code: 'out-of-range',
    message: `${path} must be ${allowed}; ${given} came.`,
    path,
    allowed,
    got: String(given),
  });
}

async function planIn(file: string, io: Io): Promise<Plan> {
  const raw = await fieldsIn(file, 'plan', 'PLAN', 'a plan in JSON, see shared/formats/plan.schema.json', io);
  const { checkPlan } = await import('../plan/check');
  const { plan, problems } = checkPlan(raw);
  if (plan) return plan;
  throw firstOf(problems, { code: 'not-a-plan', message: `${file} is not a plan.`, path: 'PLAN' });
}

async function truthFor(given: string | boolean | undefined, plan: Plan, io: Io): Promise<TruthDocument> {
  const word = rehearsalTruths.find((one): one is RehearsalTruth => one === (given ?? 'nothing'));
  if (word !== undefined) {
    const { chosenTruth } = await import('../dry-run/chosen-truth');
    return chosenTruth(plan, word);
  }
  const file = String(given);
  const raw = await fieldsIn(
    file,
    'truth',
    '--truth',
    `${rehearsalTruths.join(', ')}, or a file: a truth in JSON, see shared/formats/truth.schema.json`,
    io,
  );
  const { checkTruth } = await import('../dry-run/truth');
  const { truth, problems } = checkTruth(raw, plan);
  if (truth) return truth;
  throw firstOf(problems, { code: 'not-a-truth', message: `${file} is not a truth.`, path: '--truth' });
}

const firstOf = ([problem]: readonly Problem[], otherwise: Problem): BadInput => new BadInput(problem ?? otherwise);

/** A group of fields; a list or a lone value is none of what this command takes. */
async function fieldsIn(file: string, what: string, path: string, allowed: string, io: Io): Promise<object> {
  const raw = await jsonIn(file, path, allowed, io);
  if (typeof raw === 'object' && raw !== null && !Array.isArray(raw)) return raw;
  throw new BadInput({ code: `not-a-${what}`, message: `${file} is not a ${what}.`, path, allowed, got: file });
}
