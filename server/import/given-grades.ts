import { gradedIn } from '../../protocols/form';
import type { SentGrades } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import { methodIn, valuesAsked } from './asked';
import type { Given } from './given';
import { type CodedSamples, placeOf } from './sample-named';
import { again, hasAll, scaleOf, valueOn } from './scale-value';
import type { TrialRows } from './trial-rows';

/** Grades of every sample on every scale, and the words that were ticked. */
export function gradesIn(trial: TrialRows, samples: CodedSamples, plan: Plan): Given | null {
  const { form } = methodIn(plan);
  if (form.kind !== 'grades') return null;
  const asked = valuesAsked(plan);
  const places = gradedIn(form, samples.prototypes.length);
  const grades: SentGrades['grades'][number][] = [];
  const ticks = new Map<number, string[]>(form.attributes.length > 0 ? places.map((place) => [place, []]) : []);
  const seen = new Map<string, number>();
  let whole = true;
  for (const row of trial.rows) {
    const scale = scaleOf(row, asked);
    const place = placeOf(row, samples, places, plan);
    const value = scale && valueOn(row, scale);
    if (scale === null || place === null || value === null || again(row, scale, seen, `${place} ${scale.id}`))
      whole = false;
    else if (!scale.ticked) grades.push({ place: place + 1, scale: scale.id, value });
    else if (value === 1) ticks.get(place)?.push(scale.id);
  }
  const due = places.flatMap((place) =>
    asked.map(({ id, name }) => ({
      key: `${place} ${id}`,
      name: places.length === 1 ? name : `${name} of sample ${place + 1}`,
    })),
  );
  if (!whole || !hasAll(trial, due, seen)) return null;
  return { grades, ticks: [...ticks].map(([place, attributes]) => ({ place: place + 1, attributes })) };
}
