import { levelsCount, type Plan, plays } from '../../shared/plan';

export interface PageBeside {
  label: string;
  url: string;
  detail: string;
}

/** Where files are brought and levels noted, for a plan that needs them. */
export function soundPages(plan: Pick<Plan, 'playback'>, base: string): PageBeside[] {
  const pages: PageBeside[] = [];
  if (plays(plan)) {
    const detail =
      plan.playback === 'renders'
        ? 'A file for each prototype and excerpt, cut and matched there. The first session needs them.'
        : 'The file of each excerpt, cut and matched there. The first session needs them.';
    pages.push({ label: 'Sound', url: `${base}/sound`, detail });
  }
  if (levelsCount(plan)) {
    pages.push({ label: 'Levels', url: `${base}/levels`, detail: 'What each unit measures, by ear.' });
  }
  return pages;
}
