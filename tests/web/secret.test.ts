import { chmodSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { readSecret } from '../../server/web/secret';

function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'fair-hearing-'));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

describe('the server’s secret', () => {
  it('is made once, of 32 bytes, for its owner only, and leaves nothing beside it', () => {
    const path = folder();
    const first = readSecret(path);
    expect(first).toHaveLength(32);
    expect(readSecret(path)).toEqual(first);
    expect(readdirSync(path)).toEqual(['secret']);
    if (process.platform !== 'win32') expect(statSync(join(path, 'secret')).mode & 0o777).toBe(0o600);
    expect(readSecret(folder())).not.toEqual(first);
  });

  it.skipIf(process.platform === 'win32')('is closed to others again after a careless copy', () => {
    const path = folder();
    readSecret(path);
    chmodSync(join(path, 'secret'), 0o644);
    readSecret(path);
    expect(statSync(join(path, 'secret')).mode & 0o777).toBe(0o600);
  });

  it('is refused with words when it is cut short', () => {
    const path = folder();
    writeFileSync(join(path, 'secret'), 'short');
    expect(() => readSecret(path)).toThrow(/must hold 32 bytes, and holds 5\. Move it away/);
  });
});
