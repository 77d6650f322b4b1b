import type { Kysely } from 'kysely';
import { guardTable, strict } from '../sqlite';
import type { Tables } from '../tables';

/** Sound: files, what they are in a study, levels, and what was made for each presentation. */
export async function up(db: Kysely<Tables>): Promise<void> {
  await db.schema
    .createTable('sound_file')
    .addColumn('sha256', 'text', (c) => c.notNull().primaryKey())
    .addColumn('bytes', 'integer', (c) => c.notNull())
    .addColumn('format', 'text', (c) => c.notNull())
    .addColumn('rate', 'integer', (c) => c.notNull())
    .addColumn('channels', 'integer', (c) => c.notNull())
    .addColumn('frames', 'integer', (c) => c.notNull())
    .addColumn('facts', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('study_sound')
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('excerpt_id', 'text', (c) => c.notNull())
    .addColumn('prototype_id', 'text', (c) => c.notNull())
    .addColumn('sha256', 'text', (c) => c.notNull().references('sound_file.sha256'))
    .addColumn('name', 'text', (c) => c.notNull())
    .addColumn('staff_id', 'text', (c) => c.notNull().references('staff.id'))
    .addColumn('at', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('study_sound_key', ['study_id', 'excerpt_id', 'prototype_id'])
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('study_cut')
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('excerpt_id', 'text', (c) => c.notNull())
    .addColumn('from_frame', 'integer', (c) => c.notNull())
    .addColumn('to_frame', 'integer', (c) => c.notNull())
    .addPrimaryKeyConstraint('study_cut_key', ['study_id', 'excerpt_id'])
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('sound_match')
    .addColumn('study_id', 'text', (c) => c.notNull().primaryKey().references('study.id'))
    .addColumn('body', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('unit_level')
    .addColumn('id', 'text', (c) => c.notNull().primaryKey())
    .addColumn('study_id', 'text', (c) => c.notNull().references('study.id'))
    .addColumn('unit_id', 'text', (c) => c.notNull())
    .addColumn('left_db', 'real', (c) => c.notNull())
    .addColumn('right_db', 'real', (c) => c.notNull())
    .addColumn('measured_on', 'text', (c) => c.notNull())
    .addColumn('device', 'text', (c) => c.notNull())
    .addColumn('method', 'text', (c) => c.notNull())
    .addColumn('response', 'text')
    .addColumn('staff_id', 'text', (c) => c.notNull().references('staff.id'))
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema.createIndex('unit_level_by_unit').on('unit_level').columns(['study_id', 'unit_id']).execute();
  await db.schema
    .createTable('listening_level')
    .addColumn('study_id', 'text', (c) => c.notNull().primaryKey().references('study.id'))
    .addColumn('body', 'text', (c) => c.notNull())
    .addColumn('staff_id', 'text', (c) => c.notNull().references('staff.id'))
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  await db.schema
    .createTable('presentation_sound')
    .addColumn('token', 'text', (c) => c.notNull().primaryKey())
    .addColumn('trial_id', 'text', (c) => c.notNull().references('trial.id'))
    .addColumn('presentation', 'integer', (c) => c.notNull())
    .addColumn('sha256', 'text', (c) => c.notNull())
    .addColumn('bytes', 'integer', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .addUniqueConstraint('presentation_sound_place', ['trial_id', 'presentation'])
    .modifyEnd(strict)
    .execute();
  await guardTable(db, 'presentation_sound');
  await db.schema
    .createTable('sound_check')
    .addColumn('sitting_id', 'text', (c) => c.notNull().primaryKey().references('sitting.id'))
    .addColumn('body', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
}
