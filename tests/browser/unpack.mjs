// Run as a process of its own: the package reads TMPDIR and changes the environment when it is imported.
import chromium from '@sparticuz/chromium';

await chromium.executablePath();
