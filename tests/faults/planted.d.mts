import type { Fault } from './list.mjs';

export function planted(source: string, fault: Fault): string;
