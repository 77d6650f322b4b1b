import type { Request } from 'express';
import { ulid } from 'ulid';
import type { StaffId } from '../../shared/brands';
import type { Problem } from '../../shared/problem';
import { addStaff } from '../store/staff';
import type { Db, StaffRow } from '../store/tables';
import { nameKey } from './name';
import { openSession } from './session';

export function staffRow(name: string, passwordHash: string, at: Date): StaffRow {
  return {
    id: ulid(at.getTime()) as StaffId,
    name,
    name_key: nameKey(name),
    password: passwordHash,
    created_at: at.toISOString(),
  };
}

/** Adds an account and signs it in, inside one write. Null when the name is taken. */
export async function admit(tx: Db, req: Request, row: StaffRow, at: Date): Promise<string | null> {
  return (await addStaff(tx, row)) ? openSession(tx, req, row.id, at) : null;
}

export const nameTaken = (name: string): Problem => ({
  code: 'taken',
  message: 'Somebody here has this name already. Take another, for instance with an initial.',
  path: 'name',
  allowed: 'a name that nobody has',
  got: name,
});
