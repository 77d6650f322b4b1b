/** The browser of the tests. The work is done in plain JavaScript, since shot.mjs runs without a build. */
export { launchChromium } from './launch-chromium.mjs';
