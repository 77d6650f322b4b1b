import type { Field, StaffFrame } from '../web/page';

/**
 * GET …/review/data: the answers by code, and what is open about them. Before unsealing each person opens it by a form,
 * POST …/data/open, since it stands in the record. Forms: POST …/data/exclude {target, reason}, …/data/take-back {target}.
 */
export interface DataPage extends StaffFrame {
  base: string;
  /** Still sealed; with the verdict in sight; or decided on, so that nothing changes any more. */
  stage: 'sealed' | 'unsealed' | 'decided';
  /** Why nobody else reviews the data; asked of whoever knows too much and has not said so yet. */
  why: (Field & { knows: string }) | null;
  /** Null before this person has opened it. */
  data: Data | null;
}

export interface Data {
  /** Who has opened it, and when; empty after unsealing without anybody having done so. */
  openedBy: string;
  queries: { count: number; label: string; detail: string }[];
  incidents: { at: string; what: string; who: string }[];
  apart: { who: string; at: string; answer: string; why: string }[];
  leftOut: { what: string; why: string; decided: string; target: string | null }[];
  listeners: DataListener[];
}

export interface DataListener {
  number: number;
  label: string;
  summary: string;
  open: boolean;
  sittings: { heading: string; marks: string; trials: DataTrial[] }[];
  /** Null where nothing more can be left out. */
  form: {
    targets: { value: string; label: string; chosen: boolean }[];
    targetId: string;
    targetError: string | null;
    reason: Field;
  } | null;
}

export interface DataTrial {
  trial: string;
  codes: string;
  answer: string;
  /** Of several samples that were graded what was said of each; else empty. */
  each: string[];
  at: string;
  took: string;
  marks: string;
  leftOut: boolean;
}
