/**
 * The DOM in which tests read pages keeps the listeners of every node in one WeakMap, through which the garbage collector
 * goes again and again: two thirds of the time that it takes to read a page. Kept on the nodes they cost next to nothing.
 * Everything else has the real WeakMap, which is back as soon as that DOM is loaded.
 */
const Real = globalThis.WeakMap;

class KeptOnNodes<K extends WeakKey, V> extends Real<K, V> {
  readonly #key = Symbol('listeners');
  /** An empty map for each key is what the listeners begin as, and nothing else does. */
  #ofListeners = false;

  override set(node: K, value: V): this {
    this.#ofListeners ||= value instanceof Map && value.size === 0;
    if (!this.#ofListeners) return super.set(node, value);
    (node as Record<symbol, V>)[this.#key] = value;
    return this;
  }

  override get(node: K): V | undefined {
    return this.#ofListeners ? (node as Record<symbol, V>)[this.#key] : super.get(node);
  }
}

globalThis.WeakMap = KeptOnNodes;
await import('linkedom').finally(() => {
  globalThis.WeakMap = Real;
});

export {};
