/** Arcs of a graph; arc k goes `from[k]` → `to[k]` and weighs a·ties[k] + b·order[k], both small whole numbers. */
export interface Arcs {
  nodes: number;
  from: number[];
  to: number[];
  ties: number[];
  order: number[];
}

/** Either potentials with potential[to] ≤ potential[from] + weight on every arc, or the sums of a cycle that forbids them. */
export type CycleSearch = { potentials: Float64Array } | { cycle: { ties: number; order: number } };

/**
 * Looks for a cycle of negative weight by Bellman's and Ford's rule: potentials are lowered until they fit, and a cycle
 * among the arcs that lowered them last is a negative one. Weights and sums are whole numbers, so that nothing is rounded.
 *
 * Source: Bellman (1958), Quarterly of Applied Mathematics 16:87–90; Tarjan (1981) for the cycle among predecessors.
 */
export function searchCycle(arcs: Arcs, a: number, b: number): CycleSearch {
  const { nodes, from, to, ties, order } = arcs;
  const potentials = new Float64Array(nodes);
  const lastArc = new Int32Array(nodes).fill(-1);
  for (let lowered = true; lowered; ) {
    lowered = false;
    for (let k = 0; k < from.length; k++) {
      const weight = a * (ties[k] as number) + b * (order[k] as number);
      const reached = (potentials[from[k] as number] as number) + weight;
      if (reached >= (potentials[to[k] as number] as number)) continue;
      potentials[to[k] as number] = reached;
      lastArc[to[k] as number] = k;
      lowered = true;
    }
    const on = lowered ? nodeOnCycle(lastArc, from) : -1;
    if (on >= 0) return { cycle: sumsAlong(arcs, lastArc, on) };
  }
  return { potentials };
}

/** A node on a cycle of the arcs that lowered each last, or −1. */
function nodeOnCycle(lastArc: Int32Array, from: readonly number[]): number {
  const visit = new Int32Array(lastArc.length);
  for (let start = 0; start < lastArc.length; start++) {
    let node = start;
    while (node >= 0 && visit[node] === 0) {
      visit[node] = start + 1;
      const arc = lastArc[node] as number;
      node = arc < 0 ? -1 : (from[arc] as number);
    }
    if (node >= 0 && visit[node] === start + 1) return node;
  }
  return -1;
}

function sumsAlong({ from, ties, order }: Arcs, lastArc: Int32Array, start: number) {
  const sums = { ties: 0, order: 0 };
  let node = start;
  do {
    const arc = lastArc[node] as number;
    sums.ties += ties[arc] as number;
    sums.order += order[arc] as number;
    node = from[arc] as number;
  } while (node !== start);
  return sums;
}
