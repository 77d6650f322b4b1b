import Database from 'better-sqlite3';
import { Kysely, SqliteDialect, sql } from 'kysely';
import { describe, expect, onTestFinished, test } from 'vitest';
import type { Tables } from '../../server/store/tables';
import { WriteQueue } from '../../server/store/write-queue';
import { freshFolder } from './fresh-store';

/** A queue over a real file, every statement that reaches it, and a second connection that sees what is committed. */
function queue() {
  const file = `${freshFolder()}/queue.sqlite`;
  const database = new Database(file);
  database.pragma('journal_mode = WAL');
  database.pragma('foreign_keys = ON');
  database.exec(`
    CREATE TABLE note (n INTEGER PRIMARY KEY);
    CREATE TABLE parent (id INTEGER PRIMARY KEY);
    CREATE TABLE child (id INTEGER REFERENCES parent (id) DEFERRABLE INITIALLY DEFERRED)`);
  const statements: string[] = [];
  const db = new Kysely<Tables>({
    dialect: new SqliteDialect({ database }),
    log: (event) => void statements.push(event.query.sql),
  });
  const other = new Database(file, { readonly: true });
  onTestFinished(async () => {
    other.close();
    await db.destroy();
  });
  const commits = () => statements.filter((statement) => /^commit/i.test(statement)).length;
  const committed = () =>
    other
      .prepare('SELECT n FROM note ORDER BY n')
      .all()
      .map((row) => (row as { n: number }).n);
  const works = new WriteQueue(db);
  const note = (n: number) => works.write(async (tx) => sql`INSERT INTO note VALUES (${n})`.execute(tx).then(() => n));
  return { works, note, statements, commits, committed };
}

describe('WriteQueue', () => {
  test('many writes of one turn share one commit', async () => {
    const { note, commits, committed } = queue();
    const values = await Promise.all(Array.from({ length: 50 }, (_, n) => note(n)));
    expect(values).toEqual(Array.from({ length: 50 }, (_, n) => n));
    expect(commits()).toBe(1);
    expect(committed()).toHaveLength(50);
  });

  test('one after the other: one commit each', async () => {
    const { note, commits } = queue();
    for (let n = 0; n < 3; n++) await note(n);
    expect(commits()).toBe(3);
  });

  test('what comes while a commit is under way waits for the next', async () => {
    const { works, note, commits, committed } = queue();
    let later: Promise<number> | undefined;
    await works.write(async () => {
      later = note(7);
    });
    expect(await later).toBe(7);
    expect(commits()).toBe(2);
    expect(committed()).toEqual([7]);
  });

  test('nobody hears of success before it is committed: another connection sees it by then', async () => {
    const { note, committed } = queue();
    await Promise.all(
      [1, 2, 3].map((n) =>
        note(n).then(() => {
          expect(committed()).toEqual([1, 2, 3]);
        }),
      ),
    );
  });

  test('before its commit another connection sees nothing', async () => {
    const { works, committed } = queue();
    await works.write(async (tx) => {
      await sql`INSERT INTO note VALUES (1)`.execute(tx);
      expect(committed()).toEqual([]);
    });
    expect(committed()).toEqual([1]);
  });

  test('one that fails takes nothing with it, and leaves nothing of its own', async () => {
    const { works, note, commits, committed } = queue();
    const failing = works.write(async (tx) => {
      await sql`INSERT INTO note VALUES (100)`.execute(tx);
      throw new Error('after writing');
    });
    const settled = await Promise.allSettled([note(1), failing, note(1), note(2)]);
    expect(settled.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'rejected', 'fulfilled']);
    expect(settled[1]).toMatchObject({ reason: { message: 'after writing' } });
    expect(settled[2]).toMatchObject({ reason: { message: /UNIQUE/ } });
    expect(committed()).toEqual([1, 2]);
    expect(commits()).toBe(1);
  });

  test('a work that throws before its first await fails alone, too', async () => {
    const { works, note } = queue();
    const settled = await Promise.allSettled([
      works.write(() => {
        throw new Error('at once');
      }),
      note(1),
    ]);
    expect(settled.map(({ status }) => status)).toEqual(['rejected', 'fulfilled']);
  });

  test('works run in the order in which they came, each after the one before has ended', async () => {
    const { works } = queue();
    const order: string[] = [];
    await Promise.all(
      [1, 2, 3].map((n) =>
        works.write(async (tx) => {
          order.push(`${n} begins`);
          for (let i = n; i < 4; i++) await sql`SELECT 1`.execute(tx);
          order.push(`${n} ends`);
        }),
      ),
    );
    expect(order).toEqual(['1 begins', '1 ends', '2 begins', '2 ends', '3 begins', '3 ends']);
  });

  test('a commit that fails rejects all of its batch, nothing of it is there, and the queue goes on', async () => {
    const { works, note, committed } = queue();
    // The promise of a parent is only called in at the commit.
    const orphan = works.write((tx) => sql`INSERT INTO child VALUES (1)`.execute(tx));
    const settled = await Promise.allSettled([note(1), orphan, note(2)]);
    expect(settled.map(({ status }) => status)).toEqual(['rejected', 'rejected', 'rejected']);
    for (const one of settled) expect(one).toMatchObject({ reason: { message: /FOREIGN KEY/ } });
    expect(committed()).toEqual([]);
    expect(await note(3)).toBe(3);
    expect(committed()).toEqual([3]);
  });

  test('settled resolves at once when nothing waits, else when all is written', async () => {
    const { works, note, committed } = queue();
    await works.settled();
    const promises = [note(1), note(2)];
    await works.settled();
    expect(committed()).toEqual([1, 2]);
    await Promise.all(promises);
  });
});
