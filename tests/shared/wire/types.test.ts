import { expect, test } from 'vitest';
import type { z } from 'zod';
import type { Code, PrototypeId, SittingId, Unbranded, UnitId } from '../../../shared/brands';
import type { ActReply, Place } from '../../../shared/wire';
import type { wireViews } from '../../../shared/wire/views';
import { deskSay } from '../../../shared/words/desk';

/**
 * What the compiler holds. `npm test` compiles this file, and a line under `@ts-expect-error` that compiles is an error
 * itself: so each of them is a planted mistake, and shows that it is caught.
 */

declare const unit: UnitId;
declare const prototype: PrototypeId;
declare const code: Code;
declare const sitting: SittingId;
/** Never runs: only its types count. */
const compiled = (_mistakes: () => void) => true;

/** All that is sent to phones and the desk. */
type Wire = { [View in keyof typeof wireViews]: z.infer<(typeof wireViews)[View]> } & {
  place: Place;
  reply: ActReply;
};

/** Every field, however deep, into which such an id could be put. What could be anything takes all of them. */
type Taking<Model, Id extends string, Path extends string = ''> = unknown extends Model
  ? Path
  : Model extends string
    ? Id extends Model
      ? Path
      : never
    : Model extends readonly (infer Entry)[]
      ? Taking<Entry, Id, `${Path}.*`>
      : Model extends object
        ? { [Field in keyof Model & string]-?: Taking<Model[Field], Id, `${Path}.${Field}`> }[keyof Model & string]
        : never;
/** Compiles for `never` alone, and names the fields otherwise. */
const nowhere = <Found extends string>(..._found: [Found] extends [never] ? [] : [takenBy: Found]) => true;

/** Envelopes: rendered text, and an answer about a form. */
type Envelope =
  | '.place.html'
  | '.reply.place.html'
  | '.reply.error.code'
  | '.reply.error.message'
  | '.reply.error.path';

test('no field of any model takes the id of a unit or of a prototype', () => {
  expect(nowhere<Exclude<Taking<Wire, UnitId>, Envelope>>()).toBe(true);
  expect(nowhere<Exclude<Taking<Wire, PrototypeId>, Envelope>>()).toBe(true);
});

test('the look for such fields finds one that is planted', () => {
  type Planted<Field> = { part: { seats: { now: Unbranded; field: Field | null }[] } | { kind: 'paused' } };
  expect(nowhere<Taking<Planted<Unbranded>, UnitId>>()).toBe(true);
  // @ts-expect-error a plain text takes every id
  nowhere<Taking<Planted<string>, UnitId>>();
  // @ts-expect-error the id itself
  nowhere<Taking<Planted<UnitId>, UnitId>>();
  // @ts-expect-error one of several kinds of text
  nowhere<Taking<Planted<Code | PrototypeId>, PrototypeId>>();
  // @ts-expect-error what could be anything
  nowhere<Taking<Planted<unknown>, UnitId>>();
  const found: Taking<Planted<string>, UnitId> = '.part.seats.*.field';
  expect(found).toBe('.part.seats.*.field');
});

test('codes, units and prototypes can’t be taken for one another', () => {
  expect(
    compiled(() => {
      // @ts-expect-error
      const a: Code = unit;
      // @ts-expect-error
      const b: Code = prototype;
      // @ts-expect-error
      const c: UnitId = code;
      // @ts-expect-error
      const d: UnitId = prototype;
      // @ts-expect-error
      const e: PrototypeId = unit;
      // @ts-expect-error
      const f: PrototypeId = code;
      // @ts-expect-error a text from anywhere is no code
      const g: Code = '417' as string;
      // @ts-expect-error words are no ids
      const h: Unbranded = unit;
      return [a, b, c, d, e, f, g, h];
    }),
  ).toBe(true);
});

test('models of places and of the desk take codes where codes stand, and nothing else', () => {
  type Of<View extends keyof Wire, Kind> = Extract<Wire[View], { kind: Kind }>;
  type Waiting = Of<'listen/parts/place', 'waiting'>;
  type Desk = Wire['run/parts/desk'];
  type Seat = NonNullable<Desk['session']>['seats'][number];
  type Hand = NonNullable<Desk['session']>['hands'][number];
  expect(
    compiled(() => {
      const right: [Waiting['code'], Seat['holding'], Seat['trialCodes'], Hand['sitting']] = [
        code,
        code,
        [code],
        sitting,
      ];
      // @ts-expect-error
      const a: Waiting['code'] = unit;
      // @ts-expect-error
      const b: Waiting['which'] = prototype;
      // @ts-expect-error
      const c: Seat['holding'] = unit;
      // @ts-expect-error
      const d: Seat['trialCodes'] = [prototype];
      // @ts-expect-error
      const e: Seat['now'] = unit;
      // @ts-expect-error
      const f: Seat['sitting'] = unit;
      // @ts-expect-error
      const g: Hand['sitting'] = prototype;
      // @ts-expect-error a text that might be anything is no code
      const h: Seat['holding'] = 'Wide vent' as string;
      return [right, a, b, c, d, e, f, g, h];
    }),
  ).toBe(true);
});

test('sentences for the desk take a code where a code stands, and have no place that they don’t name', () => {
  expect(deskSay('now.waiting', { code: '417' as Code })).toBe('waiting for 417');
  expect(deskSay('now.done')).toBe('done');
  expect(
    compiled(() => {
      // @ts-expect-error
      deskSay('now.waiting', { code: unit });
      // @ts-expect-error
      deskSay('now.waiting', { code: '417' as string });
      // @ts-expect-error
      deskSay('now.waiting');
      // @ts-expect-error
      deskSay('now.waiting', { code, unit });
      // @ts-expect-error
      deskSay('now.done', { code });
      // @ts-expect-error there is no such sentence
      deskSay('now.hearing', { code });
    }),
  ).toBe(true);
});
