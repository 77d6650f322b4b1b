import type { Code, ListenerId, SittingId, TrialId } from '../../../shared/brands';

/** What examples are written with: plain texts as the brands that they are in the server. All of it is invented. */

export const code = (digits: string) => digits as Code;
export const codes = (...digits: string[]) => digits as Code[];

/** Looks like an id: a number at the end of what all of them begin with. */
const id = (number: number) => `01JD3Z8W5N2Q4R6T8V0X2Y${String(number).padStart(4, '0')}`;
export const trial = (number: number) => id(1000 + number) as TrialId;
export const sitting = (number: number) => id(2000 + number) as SittingId;
export const listener = (number: number) => id(3000 + number) as ListenerId;

export const csrf = 'csrf-example-csrf-example-csrf-example-csrf';
export const joinCode = 'BCDFG';
/** What a personal link ends with. */
export const token = 'k3JvQm0y7TzX1cWb9RfLh5NdPs2GuEaY4oViMt6CqBw';
