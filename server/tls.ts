import { createPrivateKey, type KeyObject, X509Certificate } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { BadInput } from './cli/command';

export interface Tls {
  cert: string;
  key: string;
}

/** Reads a certificate and its key, and refuses by name whichever of the two does not serve. */
export function readTls(certFile: string, keyFile: string): Tls {
  const cert = readPem(certFile, '--tls-cert');
  const key = readPem(keyFile, '--tls-key');
  const certificate = parse(() => new X509Certificate(cert), '--tls-cert', certFile, 'a certificate in PEM');
  const privateKey = parse<KeyObject>(
    () => createPrivateKey(key),
    '--tls-key',
    keyFile,
    'a private key in PEM, without a passphrase',
  );
  if (!certificate.checkPrivateKey(privateKey)) {
    throw new BadInput({
      code: 'key-mismatch',
      message: `--tls-key is not the key of the certificate in ${certFile}.`,
      path: '--tls-key',
      allowed: 'the key that the certificate was made with',
      got: keyFile,
    });
  }
  // By the machine's clock: browsers will judge the certificate by theirs.
  if (Date.parse(certificate.validTo) < Date.now()) {
    throw new BadInput({
      code: 'certificate-expired',
      message: `The certificate in ${certFile} was valid until ${certificate.validTo}; phones would refuse it.`,
      path: '--tls-cert',
      allowed: 'a certificate that is valid today',
      got: certFile,
    });
  }
  return { cert, key };
}

function readPem(file: string, option: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw new BadInput({
      code: 'unreadable-file',
      message: `${option} names a file that cannot be read: ${error instanceof Error ? error.message : String(error)}.`,
      path: option,
      allowed: 'a file that this user may read',
      got: file,
    });
  }
}

function parse<T>(read: () => T, option: string, file: string, allowed: string): T {
  try {
    return read();
  } catch {
    throw new BadInput({
      code: 'invalid-file',
      message: `${option} names a file that is not ${allowed}.`,
      path: option,
      allowed,
      got: file,
    });
  }
}
