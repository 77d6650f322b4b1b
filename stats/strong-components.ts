/**
 * Arcs go from[k] → to[k]. The number of each node's strong component: two nodes have the same where chains of arcs lead from each to the other.
 *
 * Source: Tarjan (1972), SIAM Journal on Computing 1:146–160, without recursion.
 */
export function strongComponents(nodes: number, from: readonly number[], to: readonly number[]): Int32Array {
  // Arcs by the node where they begin: those of node i stand at starts[i] to starts[i + 1] of `heads`.
  const starts = new Int32Array(nodes + 1);
  for (const node of from) starts[node + 1] = (starts[node + 1] as number) + 1;
  for (let i = 0; i < nodes; i++) starts[i + 1] = (starts[i + 1] as number) + (starts[i] as number);
  const next = starts.slice(0, nodes);
  const heads = new Int32Array(from.length);
  for (let k = 0; k < from.length; k++) {
    const node = from[k] as number;
    heads[next[node] as number] = to[k] as number;
    next[node] = (next[node] as number) + 1;
  }
  next.set(starts.subarray(0, nodes));

  const component = new Int32Array(nodes).fill(-1);
  const visited = new Int32Array(nodes).fill(-1);
  const lowest = new Int32Array(nodes);
  const open: number[] = [];
  const path: number[] = [];
  let visits = 0;
  let found = 0;
  const enter = (node: number) => {
    visited[node] = lowest[node] = visits++;
    open.push(node);
    path.push(node);
  };
  for (let root = 0; root < nodes; root++) {
    if (visited[root] !== -1) continue;
    enter(root);
    while (path.length > 0) {
      const node = path[path.length - 1] as number;
      const arc = next[node] as number;
      if (arc < (starts[node + 1] as number)) {
        next[node] = arc + 1;
        const head = heads[arc] as number;
        if (visited[head] === -1) enter(head);
        else if (component[head] === -1) lowest[node] = Math.min(lowest[node] as number, visited[head] as number);
        continue;
      }
      path.pop();
      const before = path[path.length - 1];
      if (before !== undefined) lowest[before] = Math.min(lowest[before] as number, lowest[node] as number);
      if (lowest[node] !== visited[node]) continue;
      let member: number | undefined;
      do {
        member = open.pop() as number;
        component[member] = found;
      } while (member !== node);
      found++;
    }
  }
  return component;
}
