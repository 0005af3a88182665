/**
 * Builds the worker together with the page, so that a module that both need is one file for both, loaded once. By itself
 * a worker would be a build of its own, with files of its own.
 * @returns {import('vite').Plugin}
 */
export const workerChunks = () => ({
  name: 'worker-chunks',
  apply: 'build',
  enforce: 'pre',
  async resolveId(source, importer) {
    if (!source.endsWith(ASKED)) return null;
    const found = await this.resolve(source.slice(0, -ASKED.length), importer);
    return found && `${MARK}${found.id}`;
  },
  load(id) {
    if (!id.startsWith(MARK)) return null;
    const file = this.emitFile({ type: 'chunk', id: id.slice(MARK.length) });
    return `export default import.meta.ROLLUP_FILE_URL_${file};`;
  },
});

const ASKED = '?worker&url';
const MARK = '\0worker-chunk:';
