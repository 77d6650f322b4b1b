/**
 * Strings that must never be mistaken for one another carry a brand. A `Code` may go anywhere; a `UnitId` or a
 * `PrototypeId` may not leave the server before a study is unsealed, and the wire schemas know only `Code`.
 */
declare const brand: unique symbol;
type Branded<Name extends string> = string & { readonly [brand]: Name };

export type Code = Branded<'Code'>;
export type PrototypeId = Branded<'PrototypeId'>;
export type UnitId = Branded<'UnitId'>;
export type AudienceId = Branded<'AudienceId'>;
export type StudyId = Branded<'StudyId'>;
export type SessionId = Branded<'SessionId'>;
export type SittingId = Branded<'SittingId'>;
export type TrialId = Branded<'TrialId'>;
export type ListenerId = Branded<'ListenerId'>;
export type StaffId = Branded<'StaffId'>;
/** The id that a phone gives to what it sends; a repeated one is answered as the first time. */
export type ActId = Branded<'ActId'>;

/**
 * Text that bears no brand. A plain string fits and an id doesn't, so that the compiler refuses a `UnitId` wherever a
 * phone or a desk gets words.
 */
export type Unbranded = string & { readonly [brand]?: never };
