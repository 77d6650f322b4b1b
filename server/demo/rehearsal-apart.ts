import { spawn } from 'node:child_process';
import { join } from 'node:path';
import type { Plan } from '../../shared/plan';
import { recordSchema, type StudyRecord } from '../../shared/record';
import type { RehearsalProgress, RehearsalTruth, RehearsalWatch } from '../rehearse';
import { root } from '../root';
import { temporaryFolder } from '../temporary-folder';

/** How long a rehearsal that is stopped may take to tidy up. */
const patienceMs = 3_000;

/**
 * Plays a rehearsal in a process of its own, so that a panel at its phones doesn't notice: the command `rehearse`, with
 * a folder for temporary files that is removed however the process ends.
 * @throws the reason of the signal when it was stopped, or an Error with what the process said
 */
export async function rehearseApart(plan: Plan, truth: RehearsalTruth, watch: RehearsalWatch): Promise<StudyRecord> {
  const { signal, progress } = watch;
  signal?.throwIfAborted();
  const folder = temporaryFolder('rehearsal');
  try {
    const child = spawn(process.execPath, [join(root, 'server/start/fh.mjs'), 'rehearse', '-', '--truth', truth], {
      env: { ...process.env, TMPDIR: folder.path, TEMP: folder.path, TMP: folder.path },
      stdio: ['pipe', 'pipe', 'pipe', 'ipc'],
    });
    const stop = () => {
      child.kill('SIGTERM');
      setTimeout(() => child.kill('SIGKILL'), patienceMs).unref();
    };
    signal?.addEventListener('abort', stop, { once: true });
    child.on('message', (now: RehearsalProgress) => progress?.(now));
    const [out, err] = [textOf(child.stdout), textOf(child.stderr)];
    // Whoever ends before it has read everything says why on its own.
    child.stdin?.on('error', () => {});
    child.stdin?.end(JSON.stringify(plan));
    const code = await new Promise<number | null>((resolve, reject) => {
      child.once('error', reject);
      child.once('close', resolve);
    });
    signal?.removeEventListener('abort', stop);
    signal?.throwIfAborted();
    if (code !== 0) throw new Error(`The rehearsal ended with ${code}: ${(await err).slice(-2_000)}`);
    return recordSchema.parse(JSON.parse(await out));
  } finally {
    folder.remove();
  }
}

async function textOf(stream: NodeJS.ReadableStream | null): Promise<string> {
  let text = '';
  for await (const chunk of stream ?? []) text += String(chunk);
  return text;
}
