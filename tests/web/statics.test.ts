import express from 'express';
import request from 'supertest';
import { describe, expect, it } from 'vitest';
import { bundleClient } from '../../server/start/bundle.mjs';
import { clientFiles } from '../../server/web/statics';
import { openHouse } from '../account/house';

describe('files for browsers', () => {
  it('are the bundle, asked for anew each time', async () => {
    const { agent } = (await openHouse()).browser();
    const answer = await agent.get('/client/page.js');
    expect([answer.status, answer.type, answer.headers['cache-control']]).toEqual([200, 'text/javascript', 'no-cache']);
    const again = await agent.get('/client/page.js').set('If-Modified-Since', answer.headers['last-modified'] ?? '');
    expect(again.status).toBe(304);
  });

  it('are the fonts that the style sheet names', async () => {
    const app = express().use(clientFiles(await bundleClient()));
    const sheet = (await request(app).get('/client/page.css')).text;
    const fonts = [...sheet.matchAll(/url\("?([^")]+\.woff2)"?\)/g)].map((match) => match[1] ?? '');
    expect(fonts).toHaveLength(2);
    for (const font of fonts) {
      const answer = await request(app)
        .get(new URL(font, 'http://host/client/page.css').pathname)
        .buffer(true)
        .parse((res, done) => {
          const parts: Buffer[] = [];
          res.on('data', (part: Buffer) => parts.push(part)).on('end', () => done(null, Buffer.concat(parts)));
        });
      expect([answer.status, answer.type]).toEqual([200, 'font/woff2']);
      expect((answer.body as Buffer).subarray(0, 4).toString('latin1')).toBe('wOF2');
    }
  });

  it.each(['/client/', '/client/nothing.js', '/client/%2e%2e/secret', '/client/fonts/other.woff2', '/client/.hidden'])(
    'are not %s',
    async (path) => {
      expect((await (await openHouse()).browser().agent.get(path)).status).toBe(404);
    },
  );
});
