import type { Pcm } from '../audio/pcm';
import { readResponse } from '../audio/response-curve';
import { type UnitTrim, unitTrims } from '../audio/unit-level';
import type { UnitNow } from '../level-problems';

/** What the file of each unit is lowered by, so that all of them play the programme as loud as the quietest does. */
export const trimsOf = (units: readonly UnitNow[], programme: Pcm): UnitTrim[] =>
  unitTrims(
    units.flatMap(({ id, serial, newest }) =>
      newest === null
        ? []
        : [
            {
              unit: id,
              name: serial,
              leftDb: newest.left_db,
              rightDb: newest.right_db,
              ...(newest.response === null ? {} : { curve: readResponse(newest.response) }),
            },
          ],
    ),
    programme,
  );
