/** Looks at every order of 0 … n − 1; the list is the same one, turned in place (Heap 1963, The Computer Journal 6:293–294). */
export function everyOrder(n: number, look: (order: readonly number[]) => void): void {
  const order = Array.from({ length: n }, (_, i) => i);
  const turned = order.map(() => 0);
  look(order);
  for (let i = 1; i < n; ) {
    if ((turned[i] as number) >= i) {
      turned[i++] = 0;
      continue;
    }
    const j = i % 2 === 0 ? 0 : (turned[i] as number);
    [order[i], order[j]] = [order[j] as number, order[i] as number];
    turned[i] = (turned[i] as number) + 1;
    look(order);
    i = 1;
  }
}
