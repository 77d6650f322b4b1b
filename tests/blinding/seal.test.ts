import { scryptSync } from 'node:crypto';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { KeyFile, openWithPassphrase, seal, sealWithPassphrase, unseal } from '../../server/blinding/seal';
import type { StudyId } from '../../shared/brands';

const key = Buffer.alloc(32, 3);

describe('seal', () => {
  test('property: what is sealed comes back, and never twice the same', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), fc.string(), (bytes, context) => {
        const plain = Buffer.from(bytes);
        const sealed = seal(key, plain, context);
        expect(unseal(key, sealed, context)).toEqual(plain);
        expect(seal(key, plain, context)).not.toBe(sealed);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  test('another key or another context opens nothing', () => {
    const sealed = seal(key, Buffer.from('unit 4'), 'draw:1');
    expect(() => unseal(Buffer.alloc(32, 4), sealed, 'draw:1')).toThrow();
    expect(() => unseal(key, sealed, 'draw:2')).toThrow();
    expect(() => unseal(key, sealed, '')).toThrow();
  });

  test('every single flipped byte is noticed', () => {
    const bytes = Buffer.from(seal(key, Buffer.from('unit 4'), 'draw:1'), 'base64');
    for (let i = 0; i < bytes.length; i++) {
      const changed = Buffer.from(bytes);
      changed.writeUInt8(changed.readUInt8(i) ^ 1, i);
      expect(() => unseal(key, changed.toString('base64'), 'draw:1'), `byte ${i}`).toThrow();
    }
  });

  test('a seal cut short is refused at every length: a short tag proves too little', () => {
    const bytes = Buffer.from(seal(key, Buffer.alloc(0), 'draw:1'), 'base64');
    for (let length = 0; length < bytes.length; length++) {
      expect(() => unseal(key, bytes.subarray(0, length).toString('base64'), 'draw:1'), `${length} bytes`).toThrow();
    }
  });
});

describe('passphrase', () => {
  test('the right one opens, however it was composed; a wrong one gives null', async () => {
    // é as one letter, and as e with an accent: two keyboards, one passphrase (NFKC).
    const sealed = await sealWithPassphrase('caf\u00e9 au lait', key, 'key:s');
    expect(await openWithPassphrase('cafe\u0301 au lait', sealed, 'key:s')).toEqual(key);
    expect(await openWithPassphrase('cafe au lait', sealed, 'key:s')).toBeNull();
    expect(await openWithPassphrase('caf\u00e9 au lait', sealed, 'key:other')).toBeNull();
    expect(await sealWithPassphrase('caf\u00e9 au lait', key, 'key:s')).not.toBe(sealed);
    expect(sealed).not.toContain(key.toString('base64'));
  });

  // In full here, and for less in the other tests (`tests/support/cheap-scrypt.ts`).
  test('each guess costs 64 MB: the key that seals is stretched that far', async () => {
    const [salt = '', body = ''] = (await sealWithPassphrase('moss and copper', key, 'key:s')).split('.');
    const cost = { N: 2 ** 16, r: 8, p: 1, maxmem: 2 ** 28 };
    const worked = scryptSync('moss and copper', Buffer.from(salt, 'base64'), 32, cost);
    expect(unseal(worked, body, 'key:s')).toEqual(key);
  });
});

describe('KeyFile', () => {
  let folder: string;
  const study = 'S1' as StudyId;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'fh-key-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));
  const path = () => join(folder, 'keys', 'S1.key');

  test('written and read; only this account may read it', () => {
    new KeyFile(folder, study).write(key);
    expect(new KeyFile(folder, study).read()).toEqual(key);
    expect(statSync(path()).mode & 0o777).toBe(0o600);
    expect(statSync(join(folder, 'keys')).mode & 0o777).toBe(0o700);
  });

  test('a file that was left open to others is closed to them again', () => {
    mkdirSync(join(folder, 'keys'));
    writeFileSync(path(), 'old');
    chmodSync(path(), 0o644);
    new KeyFile(folder, study).write(key);
    expect(statSync(path()).mode & 0o777).toBe(0o600);
    expect(readFileSync(path())).toEqual(key);
  });

  test('destroyed: gone, and once more does no harm', () => {
    const file = new KeyFile(folder, study);
    file.write(key);
    file.destroy();
    expect(existsSync(path())).toBe(false);
    expect(file.read()).toBeNull();
    file.destroy();
  });

  test('each study has its own', () => {
    new KeyFile(folder, study).write(key);
    expect(new KeyFile(folder, 'S2' as StudyId).read()).toBeNull();
  });
});
