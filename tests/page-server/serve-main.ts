/** The page server as a program of its own, for tests that kill it: serve-main FOLDER. It says its port, and runs until it is killed. */
import { writeSync } from 'node:fs';
import { startPageServer } from '../../server/src/edge/page-server.ts';
import { servedLibrary } from '../../server/src/edge/served-library.ts';

process.on('SIGXFSZ', () => undefined);
void startPageServer({ library: servedLibrary(process.argv[2] ?? '.', undefined, 60_000), port: 0, page: { script: '', styles: '' } }).then((server) => {
  writeSync(1, `${server.port}\n`);
});
