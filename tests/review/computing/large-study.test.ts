import { join } from 'node:path';
import { setTimeout as after } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { recordOf } from '../../../server/blinding/record';
import { Computings } from '../../../server/review/computing/computings';
import { readingOf } from '../../../server/review/computing/reading';
import { findingsHash, findingsOf } from '../../../server/review/findings';
import { recordSchema } from '../../../shared/record';
import { aPlan } from '../../blinding/a-plan';
import { removeFolders } from '../../support/driver';
import { playedHouse } from '../../support/played-house';
import { randomStudy } from '../random-study';

/** Just large enough to be computed in a thread. */
const plan = aPlan({ repeats: 8, sessions: 4, handling: 'day-code', audiences: [['home', 12]] });
const { lines } = randomStudy(plan, { seed: 5, truth: { worth: { 'proto-a': 1 } } });

let played: Awaited<ReturnType<typeof playedHouse>>;
beforeAll(async () => {
  played = await playedHouse(plan, lines);
});
afterAll(async () => {
  await played.house.close();
  removeFolders();
});

/** The page once it is the letter. */
async function letter() {
  for (;;) {
    const { page } = await played.desk.open(`${played.study}/review`);
    if (page.find('.letter')) return page;
    expect(page.text('main')).toContain('The verdict is being computed');
    await after(50);
  }
}

test('a large study is computed in a thread, and gives the findings of its record to the letter', async () => {
  const { desk, study } = played;
  const page = await letter();
  const record = recordSchema.parse(JSON.parse(await desk.download(study, 'record.json')));
  expect(record.ledger.length).toBeGreaterThan(1_500);
  const findings = findingsOf(record);
  expect(page.text('.sign-off')).toContain(findingsHash(findings));
  expect(await desk.download(study, 'findings.json')).toBe(`${JSON.stringify(findings, null, 1)}\n`);
});

test('what was read in one go shows at once, though it held up the clock by which patience ends', async () => {
  const { house, id } = played;
  const reading = readingOf(await recordOf(house.store.db, id), {});
  const fails = (error: unknown) => {
    throw error;
  };
  const reads = async () => {
    const until = performance.now() + 5;
    while (performance.now() < until);
    return reading;
  };
  const computings = new Computings(house.store, () => house.clock.at, fails, reads);
  expect('state' in (await computings.of(id, { patience: 1 }))).toBe(false);
});

test('a row changed by hand shows at the next look, and that it was put back, too', async () => {
  const { house, id } = played;
  await letter();
  const file = new Database(join(house.folder, 'fair-hearing.sqlite'));
  file.exec('DROP TRIGGER ledger_no_update');
  const seq = 700;
  const own = file.prepare('SELECT body FROM ledger WHERE study_id = ? AND seq = ?').get(id, seq) as { body: string };
  const write = (body: string) =>
    file.prepare('UPDATE ledger SET body = ? WHERE study_id = ? AND seq = ?').run(body, id, seq);
  write(own.body.replace(/}$/, ',"x":1}'));
  const page = await letter();
  expect(page.text('.letter-head')).toContain(`The record was changed at entry ${seq}`);
  expect(page.text('.sign-off [role="alert"]')).toContain(`changed at entry ${seq}`);
  for (const button of page.all('button[name="decision"]')) expect(button.hasAttribute('disabled')).toBe(true);
  write(own.body);
  file.close();
  expect((await letter()).text('.letter-head')).not.toContain('was changed');
});

test('an entry written by hand before the first shows, too', async () => {
  const { house, id } = played;
  await letter();
  const file = new Database(join(house.folder, 'fair-hearing.sqlite'));
  file.exec('DROP TRIGGER ledger_follows');
  const place = 'study_id = ? AND seq = ?';
  const columns = file.prepare("SELECT name FROM pragma_table_info('ledger')").pluck().all() as string[];
  const moved = columns.map((name) => (name === 'seq' ? '0' : name)).join(', ');
  file.prepare(`INSERT INTO ledger SELECT ${moved} FROM ledger WHERE ${place}`).run(id, 3);
  expect((await letter()).text('.letter-head')).toContain('The record was changed at entry');
  file.exec('DROP TRIGGER ledger_no_delete');
  file.prepare(`DELETE FROM ledger WHERE ${place}`).run(id, 0);
  file.close();
  expect((await letter()).text('.letter-head')).not.toContain('was changed');
});
