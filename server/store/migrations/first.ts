import type { CreateTableBuilder, Kysely } from 'kysely';
import { guardLedger, strict } from '../sqlite';
import type { Tables } from '../tables';

type Build = CreateTableBuilder<string, never>;
const text = (table: Build, ...names: string[]): Build =>
  names.reduce<Build>((t, name) => t.addColumn(name, 'text', (c) => c.notNull()) as Build, table);
const maybe = (table: Build, ...names: string[]): Build =>
  names.reduce<Build>((t, name) => t.addColumn(name, 'text') as Build, table);
const whole = (table: Build, ...names: string[]): Build =>
  names.reduce<Build>((t, name) => t.addColumn(name, 'integer', (c) => c.notNull()) as Build, table);

/** The tables that the first whole study needs. Migrations are only ever appended, never edited. */
export async function up(db: Kysely<Tables>): Promise<void> {
  const table = async (name: string, build: (t: Build) => Build): Promise<void> => {
    await build(db.schema.createTable(name) as unknown as Build)
      .modifyEnd(strict)
      .execute();
  };
  await table('staff', (t) =>
    text(t, 'id', 'name', 'name_key', 'password', 'created_at')
      .addPrimaryKeyConstraint('staff_key', ['id'] as never)
      .addUniqueConstraint('staff_name', ['name_key'] as never),
  );
  await table('staff_token', (t) =>
    maybe(text(t, 'hash', 'kind', 'created_at', 'expires_at'), 'staff_id', 'used_at')
      .addPrimaryKeyConstraint('staff_token_key', ['hash'] as never)
      .addForeignKeyConstraint('staff_token_staff', ['staff_id'] as never, 'staff', ['id']),
  );
  await table('staff_session', (t) =>
    text(t, 'hash', 'staff_id', 'created_at', 'expires_at')
      .addPrimaryKeyConstraint('staff_session_key', ['hash'] as never)
      .addForeignKeyConstraint('staff_session_staff', ['staff_id'] as never, 'staff', ['id']),
  );
  await table('study', (t) =>
    maybe(
      whole(text(t, 'id', 'title', 'state', 'plan', 'created_by', 'created_at'), 'plan_version', 'version'),
      'plan_hash',
      'commitment',
      'single_blind',
    )
      .addPrimaryKeyConstraint('study_key', ['id'] as never)
      .addForeignKeyConstraint('study_staff', ['created_by'] as never, 'staff', ['id']),
  );
  await table('study_secret', (t) =>
    text(t, 'study_id', 'sealed_key', 'sealed_seed')
      .addPrimaryKeyConstraint('study_secret_key', ['study_id'] as never)
      .addForeignKeyConstraint('study_secret_study', ['study_id'] as never, 'study', ['id']),
  );
  await table('sealed_draw', (t) =>
    whole(text(t, 'study_id', 'audience_id', 'sealed'), 'session_number', 'ordinal')
      .addPrimaryKeyConstraint('sealed_draw_key', ['study_id', 'session_number', 'audience_id', 'ordinal'] as never)
      .addForeignKeyConstraint('sealed_draw_study', ['study_id'] as never, 'study', ['id']),
  );
  await table('sheet_opening', (t) =>
    whole(text(t, 'study_id', 'staff_id', 'at'), 'session_number')
      .addForeignKeyConstraint('sheet_opening_study', ['study_id'] as never, 'study', ['id'])
      .addForeignKeyConstraint('sheet_opening_staff', ['staff_id'] as never, 'staff', ['id']),
  );
  await table('listener', (t) =>
    text(t, 'id', 'alias', 'alias_key', 'created_at')
      .addPrimaryKeyConstraint('listener_key', ['id'] as never)
      .addUniqueConstraint('listener_alias', ['alias_key'] as never),
  );
  await table('listener_token', (t) =>
    text(t, 'hash', 'listener_id', 'created_at')
      .addPrimaryKeyConstraint('listener_token_key', ['hash'] as never)
      .addForeignKeyConstraint('listener_token_listener', ['listener_id'] as never, 'listener', ['id']),
  );
  await table('membership', (t) =>
    maybe(text(t, 'study_id', 'listener_id', 'audience_id', 'joined_at'), 'staff_id')
      .addColumn('ordinal' as never, 'integer')
      .addPrimaryKeyConstraint('membership_key', ['study_id', 'listener_id'] as never)
      .addUniqueConstraint('membership_ordinal', ['study_id', 'audience_id', 'ordinal'] as never)
      .addForeignKeyConstraint('membership_study', ['study_id'] as never, 'study', ['id'])
      .addForeignKeyConstraint('membership_listener', ['listener_id'] as never, 'listener', ['id']),
  );
  await table('session', (t) =>
    maybe(whole(text(t, 'id', 'study_id', 'join_code', 'state', 'opened_at'), 'number'), 'closed_at')
      .addPrimaryKeyConstraint('session_key', ['id'] as never)
      .addUniqueConstraint('session_code', ['join_code'] as never)
      .addUniqueConstraint('session_number', ['study_id', 'number'] as never)
      .addForeignKeyConstraint('session_study', ['study_id'] as never, 'study', ['id']),
  );
  await table('sitting', (t) =>
    maybe(
      whole(text(t, 'id', 'study_id', 'session_id', 'listener_id', 'state', 'arrived_at'), 'number', 'version'),
      'holding',
      'holding_trial',
      'seated_at',
      'ended_at',
    )
      .addColumn('seat' as never, 'integer')
      .addPrimaryKeyConstraint('sitting_key', ['id'] as never)
      .addUniqueConstraint('sitting_once', ['session_id', 'listener_id'] as never)
      .addForeignKeyConstraint('sitting_session', ['session_id'] as never, 'session', ['id'])
      .addForeignKeyConstraint('sitting_listener', ['listener_id'] as never, 'listener', ['id']),
  );
  await table('check_in', (t) =>
    text(t, 'sitting_id', 'hearing', 'health', 'at')
      .addPrimaryKeyConstraint('check_in_key', ['sitting_id'] as never)
      .addForeignKeyConstraint('check_in_sitting', ['sitting_id'] as never, 'sitting', ['id']),
  );
  await table('trial', (t) =>
    maybe(
      whole(text(t, 'id', 'sitting_id', 'codes', 'shown', 'step'), 'ordinal', 'practice', 'presentation', 'retries'),
      'waiting_since',
      'answer',
    )
      .addColumn('replaces' as never, 'integer')
      .addPrimaryKeyConstraint('trial_key', ['id'] as never)
      .addUniqueConstraint('trial_ordinal', ['sitting_id', 'ordinal'] as never)
      .addForeignKeyConstraint('trial_sitting', ['sitting_id'] as never, 'sitting', ['id']),
  );
  await table('act', (t) =>
    text(t, 'id', 'sitting_id', 'trial_id', 'kind', 'body', 'at')
      .addPrimaryKeyConstraint('act_key', ['id'] as never)
      .addForeignKeyConstraint('act_trial', ['trial_id'] as never, 'trial', ['id']),
  );
  await table('ledger', (t) =>
    whole(text(t, 'study_id', 'at', 'actor', 'kind', 'body', 'previous', 'hash'), 'seq').addPrimaryKeyConstraint(
      'ledger_key',
      ['study_id', 'seq'] as never,
    ),
  );
  await guardLedger(db);
  for (const [index, on, columns] of [
    ['sitting_by_listener', 'sitting', ['listener_id', 'study_id']],
    ['sitting_by_session', 'sitting', ['session_id']],
    ['trial_by_sitting', 'trial', ['sitting_id']],
  ] as const) {
    await db.schema
      .createIndex(index)
      .on(on)
      .columns([...columns])
      .execute();
  }
}
