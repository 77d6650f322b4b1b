/** Who does what in a study. Listeners are no staff: they join by their phones. */
export const roles = ['designer', 'preparer', 'operator', 'analyst', 'approver'] as const;
export type Role = (typeof roles)[number];
