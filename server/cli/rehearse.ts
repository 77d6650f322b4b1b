import { readFile } from 'node:fs/promises';
import type { Plan } from '../../shared/plan';
import { nearestOf } from '../../stats/nearest-name';
import { recordText } from '../blinding/record';
import { answersOf, mostAnswers, type RehearsalTruth, rehearsalTruths, unplayedWords } from '../rehearse';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { onStopSignal, Stopped } from './stop-signal';

/** `rehearse PLAN`: a plan played by simulated listeners; what they answered comes out as a record, for `analyse`. */
export const rehearse: Command = {
  name: 'rehearse',
  summary: 'Plays a plan with simulated listeners in a server of its own and writes the record',
  usage: 'PLAN [--truth smallest]',
  options: {
    truth: {
      type: 'string',
      summary:
        'what there is to hear: “nothing”, “smallest” (what the plan wants to find, and where it is left out) or “plain”',
    },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, ['PLAN']);
    const truth = truthNamed(options.truth);
    const plan = await readPlan(positionals[0] ?? '', io);
    const { rehearse } = await import('../demo/rehearsal');
    const stop = new AbortController();
    // Ended from outside, or left by whoever started it: the folder is removed before this process is gone.
    const end = () => stop.abort(new Stopped());
    const heedNoMore = onStopSignal(end);
    if (process.send) process.once('disconnect', end);
    let answers = 0;
    try {
      const record = await rehearse(plan, truth, {
        signal: stop.signal,
        progress: (now) => {
          answers = now.answers;
          if (process.connected) process.send?.(now);
        },
      });
      io.stdout.write(recordText(record));
      const unplayed = unplayedWords(plan, answers);
      if (unplayed !== null) io.stderr.write(`${unplayed}\n`);
      return 0;
    } catch (error) {
      if (error instanceof Stopped) return 1;
      throw error;
    } finally {
      heedNoMore();
      process.off('disconnect', end);
      if (process.connected) process.disconnect();
    }
  },
};

function truthNamed(given: string | boolean | undefined): RehearsalTruth {
  const name = given ?? 'smallest';
  const found = rehearsalTruths.find((one) => one === name);
  if (found) return found;
  throw new BadInput({
    code: 'not-a-choice',
    message: `--truth is “${given}”. The nearest is ${nearestOf(String(given), rehearsalTruths)?.name}.`,
    path: '--truth',
    allowed: rehearsalTruths.join(', '),
    got: String(given),
  });
}

/** A plan from a file, or from standard input for `-`. */
async function readPlan(file: string, io: Io): Promise<Plan> {
  const refuse = (code: string, message: string) =>
    new BadInput({ code, message, path: 'PLAN', allowed: 'a plan in JSON, see shared/formats/plan.schema.json' });
  const text = await (file === '-' ? textOf(io.stdin) : readFile(file, 'utf8')).catch(
    (error: NodeJS.ErrnoException) => {
      throw refuse('unreadable', `${file} can't be read (${error.code}).`);
    },
  );
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    throw refuse('not-json', `${file} is not JSON.`);
  }
  const { checkPlan } = await import('../plan/check');
  const { plan, problems } = checkPlan(raw);
  if (!plan) {
    throw new BadInput(problems[0] ?? { code: 'not-a-plan', message: `${file} is not a plan.`, path: 'PLAN' });
  }
  const answers = answersOf(plan);
  if (answers <= mostAnswers) return plan;
  throw new BadInput({
    code: 'too-large',
    message: `This plan takes ${answers} answers, and a rehearsal plays at most ${mostAnswers}.`,
    path: 'sessions.count',
    allowed: `at most ${mostAnswers} answers`,
    got: String(answers),
  });
}

async function textOf(stream: NodeJS.ReadableStream): Promise<string> {
  let text = '';
  for await (const chunk of stream) text += String(chunk);
  return text;
}
