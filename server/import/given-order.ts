import type { Plan } from '../../shared/plan';
import type { Given } from './given';
import { type CodedSamples, nameAll, names, partsOf, placeOf } from './sample-named';
import type { TrialRows } from './trial-rows';

/** By the answer, or by the rank of each sample. */
export function orderIn({ rows }: TrialRows, samples: CodedSamples, plan: Plan): Given | null {
  const [first] = rows;
  const { prototypes, codes } = samples;
  const everyPlace = prototypes.map((_, i) => i);
  const answer = first.cells.text('answer');
  const allowed = `each of ${nameAll(samples, plan)} once`;
  if (answer !== '') {
    const order = orderNamed(answer, samples, plan);
    if (order === null) {
      first.cells.wrong('answer', 'not-a-choice', `“${answer}” doesn’t put the samples of this trial in order.`, {
        allowed,
        got: answer,
      });
      return null;
    }
    for (const row of rows) {
      const value = row.cells.number('value');
      if (value === null) continue;
      const place = placeOf(row, samples, everyPlace, plan);
      if (place === null) continue;
      const rank = order.indexOf(place) + 1;
      if (rank !== value)
        row.cells.wrong('value', 'conflict', `It is not the rank that the answer gives.`, {
          allowed: String(rank),
          got: String(value),
        });
    }
    return { answer: order.map((place) => codes[place]).join('>') };
  }
  const ranks = new Map<number, number>();
  for (const row of rows) {
    const place = placeOf(row, samples, everyPlace, plan);
    const rank = row.cells.whole('value', 1, prototypes.length);
    if (row.cells.text('value') === '')
      row.cells.wrong('value', 'missing', 'It is empty. Give the rank of the sample.', {
        allowed: `1 to ${prototypes.length}`,
      });
    if (place === null || rank === null) return null;
    if (ranks.has(place)) {
      row.cells.wrong(null, 'repeated', 'This sample has a rank in this trial already.');
      return null;
    }
    if ([...ranks.values()].includes(rank)) {
      row.cells.wrong('value', 'repeated', 'Another sample of this trial has the same rank; there are no ties.', {
        allowed: '1 to the number of samples, each once',
        got: String(rank),
      });
      return null;
    }
    ranks.set(place, rank);
  }
  if (ranks.size < prototypes.length) {
    first.cells.wrong(null, 'missing', `This trial has ${ranks.size} of ${prototypes.length} ranks.`, { allowed });
    return null;
  }
  const order = [...ranks].sort(([, a], [, b]) => a - b).map(([place]) => place);
  return { answer: order.map((place) => codes[place]).join('>') };
}

function orderNamed(answer: string, samples: CodedSamples, plan: Plan): number[] | null {
  const left = samples.prototypes.map((_, i) => i);
  const order: number[] = [];
  for (const part of partsOf(answer, '>', samples.prototypes.length)) {
    const at = left.findIndex((place) => names(part, place + 1, samples, plan));
    if (at < 0) return null;
    order.push(left.splice(at, 1)[0] as number);
  }
  return left.length === 0 ? order : null;
}
