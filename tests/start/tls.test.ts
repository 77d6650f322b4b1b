import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { BadInput } from '../../server/cli/command';
import { readTls } from '../../server/tls';

const file = (name: string) => fileURLToPath(new URL(`tls/${name}`, import.meta.url));

test('a certificate and its key are read', () => {
  const { cert, key } = readTls(file('certificate.pem'), file('key.pem'));
  expect(cert).toContain('BEGIN CERTIFICATE');
  expect(key).toContain('BEGIN PRIVATE KEY');
});

test.each([
  ['gone.pem', 'key.pem', '--tls-cert', 'unreadable-file'],
  ['certificate.pem', 'gone.pem', '--tls-key', 'unreadable-file'],
  ['key.pem', 'key.pem', '--tls-cert', 'invalid-file'],
  ['certificate.pem', 'certificate.pem', '--tls-key', 'invalid-file'],
  ['certificate.pem', 'other-key.pem', '--tls-key', 'key-mismatch'],
  ['expired.pem', 'key.pem', '--tls-cert', 'certificate-expired'],
])('%s with %s is refused by the name of %s', (cert, key, path, code) => {
  try {
    readTls(file(cert), file(key));
    expect.unreachable();
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    expect(error.problem).toMatchObject({ path, code });
    expect(error.message).toContain(path === '--tls-cert' && code === 'certificate-expired' ? 'valid until' : path);
  }
});
