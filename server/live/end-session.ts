import type { Context } from '../command';
import { updateSession } from '../store/sessions';
import { sittingsOf, updateSitting } from '../store/sittings';
import type { SessionRow } from '../store/tables';
import { trialsOf, updateTrial } from '../store/trials';
import { currentTrial } from './advance';

/** Ends a session: whoever is not finished is cut, and every trial that was not answered is counted as lost. */
export async function endSession(context: Context, session: SessionRow): Promise<void> {
  const { tx, at } = context;
  await updateSession(tx, session.id, { state: 'closed', closed_at: at.toISOString() });
  for (const sitting of await sittingsOf(tx, session.id)) {
    // Who was put off at check-in had no sitting that could be cut.
    if (sitting.state !== 'finished' && sitting.state !== 'postponed') {
      let lost = 0;
      const trials = await trialsOf(tx, sitting.id);
      for (let trial = currentTrial(trials); trial; trial = currentTrial(trials)) {
        // An answer that waits only for optional words is complete.
        const step = trial.step === 'words' ? 'done' : 'lost';
        if (step === 'lost' && !trial.practice) lost++;
        await updateTrial(tx, trial.id, { step });
        trial.step = step;
      }
      const whole = sitting.seated_at !== null && lost === 0 && trials.some((trial) => trial.step === 'done');
      await updateSitting(tx, sitting.id, {
        state: whole ? 'finished' : 'out',
        // Whoever stopped early rests from then on, not from the end of the session.
        ended_at: sitting.ended_at ?? at.toISOString(),
      });
      await context.record(whole ? 'sitting-finished' : 'sitting-cut', { sitting: sitting.id, lost });
    }
    await updateSitting(tx, sitting.id, { holding: null, holding_trial: null });
    context.touch(sitting.id);
  }
  await context.record('session-closed', { session: session.id, number: session.number });
}
