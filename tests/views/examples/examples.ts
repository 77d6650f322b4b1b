/** One file per view: every state of the page, long texts, errors. Drives template tests, browser checks and the gallery. */
export interface ViewExamples {
  view: string;
  layout: 'phone' | 'staff';
  examples: { name: string; model: object }[];
}
