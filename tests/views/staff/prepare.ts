import type { PrepareNav } from '../../../server/prepare/nav';
import { base } from './frame';

const places = [
  ['prepare', 'Sheets'],
  ['sound', 'Sound'],
  ['levels', 'Levels'],
  ['listening-level', 'Listening level'],
] as const;

export const nav = (here: (typeof places)[number][0]): PrepareNav[] =>
  places.map(([place, label]) => ({ label, url: `${base}/${place}`, current: place === here }));
