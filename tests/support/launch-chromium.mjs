import { execFile } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { mkdir, mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { chromium } from 'playwright-core';

const run = promisify(execFile);
const nodeModules = fileURLToPath(new URL('../../node_modules/', import.meta.url));
const packaged = join(nodeModules, '@sparticuz', 'chromium');

// The package's own flags are left alone: --single-process dies when a context closes, and
// --disable-web-security would hide the content security policy that the tests are there to check.
const flags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Starts the Chromium that came with the development dependencies, or one that is installed on this machine. */
export async function launchChromium() {
  if (process.platform === 'linux' && process.arch === 'x64' && existsSync(packaged)) {
    const folder = await unpacked();
    const executablePath = join(folder, 'chromium');
    return chromium.launch({ executablePath, args: flags, env: await surroundings(folder, executablePath) });
  }
  const executablePath = installedBrowser();
  if (!executablePath) {
    throw new Error(
      `No browser for the tests: the packaged Chromium serves Linux on x64 only (this is ${process.platform} on ${process.arch}). ` +
        'Install Chrome or Chromium, or name its program in CHROMIUM_PATH.',
    );
  }
  return chromium.launch({ executablePath, args: flags });
}

/** The folder with the unpacked browser. Unpacked once per version, beside and then renamed, so that two at once agree. */
async function unpacked() {
  const { version } = JSON.parse(await readFile(join(packaged, 'package.json'), 'utf8'));
  const cache = join(nodeModules, '.cache', 'fair-hearing');
  const folder = join(cache, `chromium-${version}`);
  if (existsSync(folder)) return folder;
  await mkdir(cache, { recursive: true });
  const temporary = await mkdtemp(join(cache, 'chromium-unpacking-'));
  try {
    // The package unpacks into the temporary folder of its process and takes whatever version lies there already,
    // so it gets a temporary folder of its own. The named environment makes it unpack its shared libraries too.
    const script = "import('@sparticuz/chromium').then((m) => m.default.executablePath())";
    await run(process.execPath, ['-e', script], {
      cwd: dirname(nodeModules),
      env: { ...process.env, TMPDIR: temporary, AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs20.x' },
    });
    await writeFile(join(temporary, 'fonts.conf'), fontConfiguration(folder));
    await rename(temporary, folder);
  } catch (error) {
    if (!existsSync(folder)) throw error;
  } finally {
    await rm(temporary, { recursive: true, force: true });
  }
  return folder;
}

/** The environment of the browser: its packaged libraries where the system lacks some, its fonts where there are none. */
async function surroundings(folder, executablePath) {
  const env = { ...process.env };
  const linked = await run('ldd', [executablePath]).then(
    ({ stdout }) => stdout,
    () => 'not found',
  );
  if (linked.includes('not found')) {
    const libraries = join(folder, 'al2023', 'lib');
    env.LD_LIBRARY_PATH = env.LD_LIBRARY_PATH ? libraries + delimiter + env.LD_LIBRARY_PATH : libraries;
  }
  // Without a single font Chromium crashes on the first page.
  if (!env.FONTCONFIG_FILE && !systemHasFonts()) env.FONTCONFIG_FILE = join(folder, 'fonts.conf');
  return env;
}

function systemHasFonts() {
  if (!existsSync('/etc/fonts/fonts.conf')) return false;
  const folders = ['/usr/share/fonts', '/usr/local/share/fonts', join(homedir(), '.fonts')];
  folders.push(join(homedir(), '.local/share/fonts'));
  return folders.some(
    (folder) =>
      existsSync(folder) &&
      readdirSync(folder, { recursive: true }).some((name) => /\.(ttf|otf|ttc|pf[ab])$/i.test(name)),
  );
}

function fontConfiguration(folder) {
  return `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
  <dir>${join(folder, 'fonts')}</dir>
  <cachedir>${join(folder, 'font-cache')}</cachedir>
</fontconfig>
`;
}

function installedBrowser() {
  if (process.env.CHROMIUM_PATH) return process.env.CHROMIUM_PATH;
  const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome.exe', 'msedge.exe'];
  const inPath = (process.env.PATH ?? '').split(delimiter).flatMap((folder) => names.map((name) => join(folder, name)));
  const usual = [
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    ...[process.env.PROGRAMFILES, process.env['PROGRAMFILES(X86)'], process.env.LOCALAPPDATA].flatMap((folder) =>
      folder
        ? [join(folder, 'Google/Chrome/Application/chrome.exe'), join(folder, 'Microsoft/Edge/Application/msedge.exe')]
        : [],
    ),
  ];
  return [...inPath, ...usual].find((path) => existsSync(path));
}
