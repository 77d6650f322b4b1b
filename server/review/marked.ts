import type { Plan } from '../../shared/plan';
import { hueClass, signOf } from './chart';
import { nameIn, placeIn } from './plan-names';
import type { Marked } from './view-models';

/** A prototype with the symbol and the hue that it has in every chart. */
export const markedIn =
  (plan: Plan) =>
  (id: string): Marked => {
    const place = placeIn(plan)(id);
    return { prototype: nameIn(plan)(id), symbol: signOf(place), hueClass: hueClass(place) };
  };
