/**
 * Plays small invented studies through the real server and writes a record, and findings of each method, to
 * shared/formats/ as the published examples; those of ABX, triangle, ranking, first impressions, several stimuli, check all that apply and renders are of the plans that stand there. Ids, codes and times are new each time, so this is run by hand when a format changes:
 *
 *   npx esbuild tests/support/make-format-examples.ts --bundle --platform=node --format=esm --packages=external \
 *     --outfile=node_modules/.cache/make-format-examples.mjs && node node_modules/.cache/make-format-examples.mjs
 */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { planOf } from '../../server/command';
import { Bench } from '../../server/demo/bench';
import { byName } from '../../server/demo/by-name';
import { DeskBrowser } from '../../server/demo/desk-browser';
import { serveSession } from '../../server/demo/operator';
import { PhoneBrowser } from '../../server/demo/phone-browser';
import { rehearse } from '../../server/demo/rehearsal';
import { StaffBrowser } from '../../server/demo/staff-browser';
import { ListenerAtSeat } from '../../server/demo/virtual-listener';
import { findingsOf } from '../../server/review/findings';
import { root } from '../../server/root';
import { planSchema } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { runApp } from './running-app';

const passphrase = 'an example of a passphrase';
const lead = { name: 'Example lead', password: 'an example of a password' };
const preparer = { name: 'Example preparer', password: 'an example of a password' };

const folder = join(root, 'shared/formats');
const write = (name: string, document: unknown) =>
  writeFile(join(folder, `${name}.example.json`), `${JSON.stringify(document, null, 1)}\n`);

const app = await runApp();
try {
  const desk = new DeskBrowser(app.url, { name: lead.name });
  await desk.makeFirstAccount(app.code, lead);
  const study = await desk.plan({
    title: 'Example (invented)',
    question: 'Which of two invented tunings do listeners prefer?',
    prototypes: [
      { name: 'Heron A', units: [{ serial: 'HA-01' }] },
      { name: 'Heron B', units: [{ serial: 'HB-01' }] },
    ],
    audiences: [{ name: 'Home', listeners: 2 }],
    turns: 1,
    handling: 'two-person',
    primary: ['Heron B', 'Heron A'],
  });
  await desk.lock(study, passphrase);
  const behindTheScreen = new StaffBrowser(app.url, { name: preparer.name });
  await behindTheScreen.acceptInvitation(await desk.invite(), preparer);
  const row = await app.store.db.selectFrom('study').select('plan').executeTakeFirstOrThrow();
  const plan = byName(planOf(row));
  const bench = new Bench();
  bench.load(await behindTheScreen.openSheet(study, passphrase));
  const { joinCode } = await desk.openSession(study);
  await desk.connect(study);
  const panel = ['Teal', 'Rook'].map(
    (alias) =>
      new ListenerAtSeat(
        new PhoneBrowser(app.url, { name: alias }),
        { alias, audience: 'Home', truth: { worth: { 'Heron B': 2 } }, remarks: { 'Heron B': ['Fuller'] } },
        { bench, plan, seed: 'example' },
      ),
  );
  for (const listener of panel) await listener.arrive(joinCode);
  const listening = panel.map((listener) => listener.listen());
  const load = () => behindTheScreen.readSheet(study, 1);
  await Promise.all([serveSession({ desk, study, bench, load }, panel.length), ...listening]);
  await desk.closeSession(study);
  await desk.close(study);
  await desk.unseal(study, passphrase);
  const record = JSON.parse(await desk.download(study, 'record.json')) as StudyRecord;
  desk.hangUp();
  for (const { phone } of panel) phone.hangUp();
  await write('record', record);
  await write('findings', findingsOf(record));
} finally {
  await app.close();
}

// The triangle is after similarity, which is there where there is nothing to hear.
const truths = {
  abx: 'plain',
  'first-impressions': 'plain',
  renders: 'plain',
  triangle: 'nothing',
  ranking: 'plain',
  'several-stimuli': 'plain',
  'check-all': 'plain',
} as const;
for (const [name, truth] of Object.entries(truths)) {
  const plan = planSchema.parse(JSON.parse(await readFile(join(folder, `plan-${name}.example.json`), 'utf8')));
  await write(`findings-${name}`, findingsOf(await rehearse(plan, truth)));
}
