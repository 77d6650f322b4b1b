import { expect, test } from 'vitest';
import { violations } from './arrows';
import { projectSources } from './sources';

test('the house keeps its arrows', () => {
  expect(violations(projectSources())).toEqual([]);
});

test('the rules look at real files', () => {
  const paths = projectSources().map(({ path }) => path);
  for (const folder of ['server/store/', 'server/blinding/', 'protocols/', 'shared/', 'client/']) {
    expect(paths.some((path) => path.startsWith(folder))).toBe(true);
  }
});

test.each([
  ['stats/t.ts', "import { x } from '../shared/words/en';", 'stats imports only stats'],
  ['stats/t.ts', "import { Problem } from '../shared/problem';", 'stats imports only stats'],
  ['stats/t.ts', "import { readFileSync } from 'node:fs';", 'stats is pure: nothing of Node'],
  [
    'stats/t.ts',
    "import tCdf from '@stdlib/stats-base-dists-t-cdf';",
    'distributions come through stats/distributions.ts',
  ],
  ['protocols/p.ts', "import jStat from 'jstat';", 'distributions come through stats/distributions.ts'],
  ['stats/t.ts', 'const r = Math.random();', 'stats is pure: no clock and no chance of its own'],
  ['protocols/p.ts', 'const at = Date.now();', 'protocols is pure: no clock and no chance of its own'],
  [
    'protocols/p.ts',
    "import type { Store } from '../server/store/open';",
    'protocols imports only protocols, stats, shared',
  ],
  ['shared/s.ts', "import { t } from '../stats/t';", 'shared imports only shared'],
  ['shared/s.ts', "export * from '../protocols/p';", 'shared imports only shared'],
  [
    'client/phone/phone.ts',
    "import { app } from '../../server/app';",
    'client imports only client, protocols, stats, shared',
  ],
  [
    'client/styles/page.css',
    "@import '../../server/web/x.css';",
    'client imports only client, protocols, stats, shared',
  ],
  ['server/run/routes.ts', "import { x } from '../review/findings';", 'no room imports another room'],
  ['server/run/routes.ts', "const x = await import('../listen/routes');", 'no room imports another room'],
  ['server/run/routes.ts', "import {\n  a,\n  b,\n} from '../plan/routes';", 'no room imports another room'],
  ['server/store/open.ts', "import { x } from '../plan/routes';", 'only the assembly imports a room'],
  ['server/run/routes.ts', "import { sql } from 'kysely';", 'only server/store speaks SQL'],
  ['server/blinding/draw.ts', "import type { Kysely } from 'kysely/helpers/sqlite';", 'only server/store speaks SQL'],
  ['server/app.ts', "import Database from 'better-sqlite3';", 'only server/store speaks SQL'],
  ['server/prepare/sheet.ts', "import { open } from '../blinding/key';", 'only server/blinding holds the key'],
  ['server/live/turns.ts', "import '../blinding/seal';", 'only server/blinding holds the key'],
  ['server/cli/demo.ts', "export { seal } from '../blinding/seal';", 'only server/blinding holds the key'],
])('%s may not: %s', (path, source, rule) => {
  expect(violations([{ path, source }]).map((violation) => violation.rule)).toContain(rule);
});

test.each([
  ['stats/distributions.ts', "import type { Problem } from '../shared/problem';\nimport { cdf } from 'jstat';"],
  ['stats/t.ts', "// import { x } from '../server/app';\n/* Math.random() is what we never call */"],
  ['protocols/p.ts', "import { t } from '../stats/t';\nimport { z } from 'zod';\nimport type { Form } from './form';"],
  ['client/phone/phone.ts', "import { events } from '../../shared/wire';"],
  [
    'server/run/routes.ts',
    "import { page } from '../web/page';\nimport type { Store } from '../store/open';\nimport { x } from './view-models';",
  ],
  ['server/app.ts', "import { routes } from './plan/routes';\nimport { express } from 'express';"],
  ['server/cli/demo.ts', "const { routes } = await import('../run/routes');"],
  ['server/blinding/draw.ts', "import { open } from './key';\nimport { createHash } from 'node:crypto';"],
  ['server/store/tables.ts', "import { Kysely } from 'kysely';"],
  ['tests/run/x.test.ts', "import Database from 'better-sqlite3';"],
])('%s may: %s', (path, source) => {
  expect(violations([{ path, source }])).toEqual([]);
});
