import type { Kysely } from 'kysely';
import { guardOrder, guardTable, strict } from '../sqlite';
import type { Tables } from '../tables';

/** What makes blindness provable: signatures, roles, who looked at the key, late answers, what listeners guessed. */
export async function up(db: Kysely<Tables>): Promise<void> {
  await db.schema
    .createTable('signature')
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('seq', 'integer', (c) => c.notNull())
    .addColumn('hash', 'text', (c) => c.notNull())
    .addColumn('key', 'text', (c) => c.notNull())
    .addColumn('signature', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('signature_key', ['study_id', 'seq'])
    .modifyEnd(strict)
    .execute();
  await guardTable(db, 'signature');
  await guardOrder(db);
  await db.schema
    .createTable('study_role')
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('staff_id', 'text', (c) => c.notNull().references('staff.id'))
    .addColumn('role', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('study_role_key', ['study_id', 'staff_id', 'role'])
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('key_look')
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('staff_id', 'text', (c) => c.notNull().references('staff.id'))
    .addColumn('what', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('quarantine')
    .addColumn('id', 'text', (c) => c.notNull().primaryKey())
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('sitting_id', 'text', (c) => c.notNull().references('sitting.id'))
    .addColumn('trial_id', 'text', (c) => c.notNull().references('trial.id'))
    .addColumn('body', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('guess')
    .addColumn('sitting_id', 'text', (c) => c.notNull().primaryKey().references('sitting.id'))
    .addColumn('body', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema.createIndex('ledger_by_kind').on('ledger').columns(['study_id', 'kind']).execute();
}
