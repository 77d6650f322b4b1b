/** The least that a call accepts, and a field of it or an option whose value no call accepts as text, −7.5, object or NaN. */
export type LeastInputs = Record<string, { input: Record<string, unknown>; spoil: string }>;
