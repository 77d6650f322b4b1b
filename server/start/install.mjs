// Makes sure that what package-lock.json names is installed for this machine and this Node. It runs before anything
// is installed, so it uses nothing but Node itself. Everything goes to standard error: standard output belongs to
// the command that is about to run.
//
//   node server/start/install.mjs            installs what is missing
//   node server/start/install.mjs --stamp    after an npm install: notes what was installed (the postinstall script)
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));
const modules = join(root, 'node_modules');
const stampFile = join(modules, '.fair-hearing-installed.json');
// Not in node_modules, which a clean installation removes.
const lockFile = join(root, '.installing');

const heartbeatMs = 1_000;
const silentMs = 30_000;

/** The installation failed, and its message says in plain words what to do. */
export class InstallFailed extends Error {}

/** Installs what is missing. With `dev`, what tests and checks need must be there too. */
export async function ensureInstalled({ dev = false } = {}) {
  if (installed(dev)) return;
  refuseOldNode();
  const release = await takeLock(() => installed(dev));
  if (!release) return;
  try {
    if (installed(dev)) return;
    await install();
    if (!installed(dev)) writeStamp();
  } finally {
    release();
  }
}

function wanted() {
  const lock = createHash('sha256')
    .update(readFileSync(join(root, 'package-lock.json')))
    .digest('hex');
  return { lock, platform: process.platform, arch: process.arch, abi: process.versions.modules };
}

function writeStamp() {
  writeFileSync(stampFile, `${JSON.stringify(wanted())}\n`);
}

function readStamp() {
  try {
    return JSON.parse(readFileSync(stampFile, 'utf8'));
  } catch {
    return undefined;
  }
}

function installed(dev) {
  const stamp = readStamp();
  if (!stamp) return false;
  const now = wanted();
  if (Object.keys(now).some((part) => stamp[part] !== now[part])) return false;
  return !dev || existsSync(join(modules, 'vitest'));
}

async function install() {
  const stamp = readStamp();
  const now = wanted();
  // Compiled parts for another machine or another Node are not replaced by an npm install on top of them.
  const fitsMachine = stamp && ['platform', 'arch', 'abi'].every((part) => stamp[part] === now[part]);
  if (fitsMachine) {
    tell('Bringing the installed packages up to date …');
    return npm(['install', '--no-save', '--include=dev']);
  }
  tell('Installing the packages. Once only, about a minute: SQLite is compiled for this machine …');
  const first = await attempt(['ci', '--include=dev']);
  if (first.code === 0) return;
  // Some npm versions call a lock file incomplete that another wrote; an install without saving settles it.
  if (/Missing: .* from lock file|npm ci. can only install/.test(first.output)) {
    return npm(['install', '--no-save', '--include=dev']);
  }
  throw new InstallFailed(plainWords(first.output));
}

async function npm(args) {
  const { code, output } = await attempt(args);
  if (code !== 0) throw new InstallFailed(plainWords(output));
}

function attempt(args) {
  const cli = process.env.npm_execpath;
  const all = [...args, '--no-audit', '--no-fund', '--loglevel=error'];
  const [program, programArgs, shell] =
    cli && /npm-cli\.[cm]?js$/.test(cli)
      ? [process.execPath, [cli, ...all], false]
      : ['npm', all, process.platform === 'win32'];
  return new Promise((resolve, reject) => {
    const child = spawn(program, programArgs, { cwd: root, shell, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding('utf8');
      stream.on('data', (text) => {
        output += text;
        process.stderr.write(text);
      });
    }
    // Stopped half way, npm must not go on writing after our lock is gone.
    const signals = ['SIGINT', 'SIGTERM'];
    const pass = (signal) => child.kill(signal);
    for (const signal of signals) process.on(signal, pass);
    child.on('error', (error) =>
      reject(new InstallFailed(`npm could not be started (${error.message}). Run this through npm: npm start.`)),
    );
    child.on('close', (code, signal) => {
      for (const each of signals) process.off(each, pass);
      if (signal) reject(new InstallFailed('The installation was stopped half way. Start again to finish it.'));
      else resolve({ code, output });
    });
  });
}

const noCompiler =
  'SQLite could not be compiled. It needs a C++ compiler, make and Python 3. Debian and Ubuntu: apt install build-essential python3. macOS: xcode-select --install. Windows: the "Desktop development with C++" part of Visual Studio. Then start again.';

/** What went wrong, as far as npm's output tells, and what to do about it. */
function plainWords(output) {
  // A missing tool first: before compiling, a finished SQLite was looked for on the network, and that may have failed too.
  if (/not found: make|any Python installation|any Visual Studio|No Xcode|cc1plus|g\+\+: |c\+\+: /.test(output)) {
    return noCompiler;
  }
  if (
    /ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|SOCKET_TIMEOUT|CERT_|self.signed/.test(output)
  ) {
    return 'The packages could not be fetched: npm does not reach its registry. Check the network, the proxy (npm config get proxy) and the registry (npm config get registry), then start again.';
  }
  if (/ENOSPC/.test(output)) return 'The disk is full: the packages need about 600 MB. Make room, then start again.';
  if (/EACCES|EPERM|EROFS/.test(output)) {
    return `The packages could not be written: this user may not write in ${modules}. Change the owner of the folder, then start again.`;
  }
  if (/E404|ETARGET/.test(output)) {
    return 'The registry that npm uses lacks a package this version needs (see above). Check npm config get registry, then start again.';
  }
  if (/gyp ERR/.test(output)) return noCompiler;
  return 'The packages could not be installed; what npm said stands above. Mend that, then start again.';
}

function refuseOldNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major > 20 || (major === 20 && minor >= 9)) return;
  throw new InstallFailed(`Node ${process.versions.node} is too old: Fair Hearing needs 20.9 or newer.`);
}

/**
 * Takes the lock and answers with the function that gives it back, or with undefined when somebody else finished the
 * work in the meantime. A lock counts as abandoned when its process is gone, or has not touched it for half a minute
 * of our own waiting (its number may since belong to some other program).
 */
async function takeLock(done) {
  let told = false;
  let lastTouch;
  let lastChange = performance.now();
  for (;;) {
    try {
      writeFileSync(lockFile, String(process.pid), { flag: 'wx' });
      const beat = setInterval(touch, heartbeatMs);
      return () => {
        clearInterval(beat);
        rmSync(lockFile, { force: true });
      };
    } catch (error) {
      if (error.code !== 'EEXIST') throw new InstallFailed(plainWords(`${error.code}`));
    }
    const seen = look();
    if (!seen) continue;
    if (seen.touched !== lastTouch) {
      lastTouch = seen.touched;
      lastChange = performance.now();
    }
    if ((seen.pid && !alive(seen.pid)) || performance.now() - lastChange > silentMs) {
      removeAbandoned(seen.pid);
      continue;
    }
    if (!told) tell(`Another start (process ${seen.pid || 'unknown'}) is installing the packages; waiting for it …`);
    told = true;
    await sleep(100);
    if (done() && !existsSync(lockFile)) return undefined;
  }
}

function touch() {
  try {
    utimesSync(lockFile, new Date(), new Date());
  } catch {
    // Somebody took it for abandoned; npm itself copes with that.
  }
}

function look() {
  try {
    return { pid: Number(readFileSync(lockFile, 'utf8')), touched: statSync(lockFile).mtimeMs };
  } catch {
    return undefined;
  }
}

function alive(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM';
  }
}

/** Two may find the same abandoned lock: moving it aside first keeps the second from removing the first one's new lock. */
function removeAbandoned(pid) {
  const aside = `${lockFile}-${process.pid}`;
  try {
    renameSync(lockFile, aside);
    if (Number(readFileSync(aside, 'utf8')) === pid) rmSync(aside, { force: true });
    else renameSync(aside, lockFile);
  } catch {
    // Gone already.
  }
}

function tell(words) {
  process.stderr.write(`${words}\n`);
}

if (process.argv[1] && realpathSync(process.argv[1]) === realpathSync(fileURLToPath(import.meta.url))) {
  try {
    if (process.argv.includes('--stamp')) writeStamp();
    else await ensureInstalled({ dev: true });
  } catch (error) {
    if (!(error instanceof InstallFailed)) throw error;
    tell(error.message);
    process.exitCode = 1;
  }
}
