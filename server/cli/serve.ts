import { expectPositionals } from './arguments';
import type { Command } from './command';
import { readServeOptions, serveOptions } from './serve-options';
import { stopSignal } from './stop-signal';

export const serve: Command = {
  name: 'serve',
  summary: 'Serves the pages for staff and listeners until it is stopped',
  usage: '[--port 4170] [--host 0.0.0.0] [--data data/] [--tls-cert FILE --tls-key FILE] [--public-url URL] [--json]',
  options: {
    ...serveOptions,
    json: { type: 'boolean', summary: 'log lines in JSON even at a terminal; elsewhere they always are' },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, []);
    const wanted = readServeOptions(options, process.env);
    const { serve } = await import('../main');
    const running = await serve({ ...wanted, json: options.json === true }, io);
    await stopSignal();
    await running.close();
    return 0;
  },
};
