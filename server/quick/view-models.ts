import type { StaffFrame } from '../web/page';

export interface QuickFile {
  slot: 'first' | 'second';
  label: string;
  there: { sha256: string; name: string; detail: string } | null;
  /** The other one, which a form that brings this one carries along. */
  other: { slot: 'first' | 'second'; sha256: string; name: string };
  error: string | null;
}

export interface QuickPage extends StaffFrame {
  /** Where to go first, when something else is under way. */
  next: { label: string; url: string } | null;
  files: [QuickFile, QuickFile];
  methods: { value: string; label: string; hint: string; chosen: boolean }[];
  methodError: string | null;
  trials: { value: string; error: string | null };
  earsError: string | null;
  /** Both files are there. */
  ready: boolean;
}
