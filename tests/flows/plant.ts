import type { IncomingMessage, ServerResponse } from 'node:http';
import type { House } from '../support/driver';

/** Makes every answer of this server say more than it should, so that it can be seen whether somebody notices. */
export function plant(house: House, change: (body: string, response: ServerResponse) => string): void {
  house.server.prependListener('request', ({ url }: IncomingMessage, response: ServerResponse) => {
    if (url?.startsWith('/socket.io')) return;
    const end = response.end.bind(response) as (chunk?: unknown, ...rest: unknown[]) => ServerResponse;
    response.end = ((chunk?: unknown, ...rest: unknown[]) => {
      if (chunk === undefined || typeof chunk === 'function') return end(chunk, ...rest);
      // Of a sound each byte is a letter.
      const way = String(response.getHeader('content-type')).startsWith('audio/') ? 'latin1' : 'utf8';
      const body = Buffer.from(change(Buffer.isBuffer(chunk) ? chunk.toString(way) : String(chunk), response), way);
      if (!response.headersSent) response.setHeader('content-length', body.length);
      return end(body, ...rest);
    }) as typeof response.end;
  });
}
