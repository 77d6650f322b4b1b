import type { House } from '../support/driver';

export interface Route {
  method: 'GET' | 'POST';
  /** `/studies/:study/run` */
  path: string;
}

interface Layer {
  route?: { path: string | string[]; methods: Record<string, boolean | undefined> };
  handle?: { stack?: Layer[] };
}

/** Every route that the server answers, read off the server itself, so that a new one is there by itself. */
export function routesOf({ app }: Pick<House, 'app'>): Route[] {
  const found = new Map<string, Route>();
  const walk = (stack: readonly Layer[]): void => {
    for (const { route, handle } of stack) {
      if (handle?.stack) walk(handle.stack);
      for (const path of route ? [route.path].flat() : []) {
        for (const method of ['GET', 'POST'] as const) {
          const { methods = {} } = route ?? {};
          if (methods[method.toLowerCase()] || methods._all) found.set(`${method} ${path}`, { method, path });
        }
      }
    }
  };
  walk((app as unknown as { router: { stack: Layer[] } }).router.stack);
  return [...found.values()];
}
