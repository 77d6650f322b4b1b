import { prepareCheckIn } from './check-in';
import { prepareCopyLink } from './copy-link';
import { prepareListening } from './listen';
import { focusProblems } from './problems';
import { prepareStopPanel } from './stop-panel';

// The script of every page for listeners. All pages work as plain forms without it.
if (!window.CSS?.supports?.('selector(:has(*))')) document.documentElement.classList.add('no-has');

const place = document.getElementById('place');
if (place) prepareListening(place);
else prepareStopPanel(async () => undefined);
prepareCheckIn();
prepareCopyLink();
focusProblems();
