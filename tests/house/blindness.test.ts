import { expect, test } from 'vitest';
import { blindViolations } from './blindness';
import { projectSources } from './sources';

test('only blinding joins code and identity, and rooms for phones and the desk know neither unit nor prototype', () => {
  expect(blindViolations(projectSources())).toEqual([]);
});

const joins = 'only server/blinding joins code and identity';
const codesOnly = 'rooms for phones and the desk get codes only';
const knowsNone = 'rooms for phones and the desk know no prototypes and no units';
const checked = 'what goes to phones and the desk goes through checked views or messages';
const ownViews = 'rooms for phones and the desk render checked views of their own';
const wire = 'shared/wire knows no units and no prototypes';

test.each([
  ['server/plan/peek.ts', "import { toldTrials } from '../blinding/outcomes';", joins],
  ['server/review/letter.ts', "import { outcomesOf } from '../blinding/outcomes';", joins],
  ['server/review/letter.ts', "import {\n  type Told,\n  toldTrials as told,\n} from '../blinding/outcomes';", joins],
  ['server/review/letter.ts', "import * as outcomes from '../blinding/outcomes';", joins],
  ['server/review/letter.ts', "export * from '../blinding/outcomes';", joins],
  ['server/review/letter.ts', "const { toldTrials } = await import('../blinding/outcomes');", joins],
  ['server/plan/check.ts', "import { drawSitting } from '../blinding/draw';", joins],
  ['server/account/people.ts', "import { sheetOf } from '../blinding/serving';", joins],
  ['server/review/blind.ts', "import { openKey } from '../blinding/unsealing';", joins],
  ['server/roles/team-page.ts', "import { tryReveal } from '../blinding/reveal';", joins],
  ['server/listen/place.ts', "import { sheetOf } from '../blinding/serving';", codesOnly],
  ['server/run/desk-view.ts', "import { storyOf } from '../blinding/story';", codesOnly],
  ['server/live/due.ts', "import * as ledger from '../blinding/ledger';", codesOnly],
  [
    'server/review/findings.ts',
    "import { findSecret } from '../store/secrets';",
    'only server/blinding reads sealed secrets',
  ],
  ['server/cli/x.ts', "db.selectFrom('sealed_draw')", 'only server/store names the tables of secrets'],
  ['server/run/desk-view.ts', 'const name = plan.prototypes[0].name;', knowsNone],
  ['server/run/desk-view.ts', 'const { prototypes } = plan;', knowsNone],
  ['server/run/desk-view.ts', "const all = plan['prototypes'];", knowsNone],
  ['server/listen/place.ts', "import { planOf } from '../command';", knowsNone],
  ['server/listen/place.ts', "import type { UnitId } from '../../shared/brands';", knowsNone],
  ['server/live/advance.ts', 'const plan = JSON.parse(study.plan) as Plan;', knowsNone],
  ['server/run/desk-hands.ts', 'methodOf(serving.plan);', knowsNone],
  ['server/run/views/parts/desk.hbs', '<p>{{seat.units}}</p>', knowsNone],
  ['client/phone/stage.ts', "import type { PrototypeId } from '../../shared/brands';", knowsNone],
  ['server/run/routes.ts', "res.send(parts.views.page('review/verdict', page));", ownViews],
  ['server/listen/routes.ts', 'res.send(views.part(view, page));', ownViews],
  ['server/run/routes.ts', 'res.json({ ok: true, desk });', checked],
  ['server/listen/routes.ts', 'res.status(200).json(reply);', checked],
  ['server/listen/routes.ts', 'res.send(place.html);', checked],
  ['server/listen/routes.ts', 'res.end(text);', checked],
  ['server/live/sockets.ts', "socket.emit('place', place);", checked],
  ['server/live/sockets.ts', "desks.to(room).emit('changed', row.version)", checked],
  ['shared/wire/desk.ts', "import type { UnitId } from '../brands';", wire],
  ['shared/wire/desk.ts', "import { prototypeSchema } from '../plan';", wire],
  ['shared/wire/desk.ts', "import type { Outcome } from '../../protocols/protocol';", wire],
  ['shared/wire.ts', 'export interface Place { unit: UnitId }', wire],
])('%s may not: %s', (path, source, rule) => {
  expect(blindViolations([{ path, source }]).map((violation) => violation.rule)).toContain(rule);
});

test.each([
  ['server/review/findings.ts', "import { outcomesOf, type Told, toldTrials } from '../blinding/outcomes';"],
  [
    'server/plan/check.ts',
    "import { codesPerSitting } from '../blinding/draw';\nfor (const one of plan.prototypes) {}",
  ],
  ['server/blinding/key.ts', "import { findSecret } from '../store/secrets';\nimport * as draw from './draw';"],
  ['server/run/seats.ts', "import { serveSitting } from '../blinding/serving';\n// prototypes are not for this room"],
  ['server/run/panel.ts', "const text = unit(3, 'hour');"],
  ['server/run/routes.ts', "res.json({ ok: true });\nres.send(parts.views.part('run/parts/desk', desk));"],
  ['server/listen/routes.ts', 'await store.write((tx) => setDevice(tx, id, device));'],
  ['server/live/sockets.ts', "socket.emit('place', sentPlace(place));"],
  ['server/live/hub.ts', "this.events.emit('study', study);"],
  ['tests/flows/leak.test.ts', "import { toldTrials } from '../../server/blinding/outcomes';"],
])('%s may: %s', (path, source) => {
  expect(blindViolations([{ path, source }])).toEqual([]);
});
