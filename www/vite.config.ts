import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig, type Plugin } from 'vite';

/**
 * Tells the service worker which files make up the page, and gives each build its own version:
 * the sum of all their contents.
 */
function offlineFiles(): Plugin {
  return {
    name: 'offline-files',
    apply: 'build',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const contents = new Map<string, string | Uint8Array>();
      for (const name of readdirSync('public')) contents.set(name, readFileSync(`public/${name}`));
      for (const part of Object.values(bundle)) {
        contents.set(part.fileName, part.type === 'chunk' ? part.code : part.source);
      }
      const worker = bundle['sw.js'];
      if (worker?.type !== 'chunk') throw new Error('the service worker was not built');
      contents.delete('sw.js');

      const files = [...contents.keys()].sort();
      // The page is kept under the folder's own address: some hosts lead index.html back there.
      const addresses = files.map((file) => (file === 'index.html' ? './' : file));
      const sum = createHash('sha256').update(worker.code);
      for (const file of files) sum.update(file).update(contents.get(file) ?? '');
      worker.code = worker.code
        .replace('__FILES__', JSON.stringify(addresses))
        .replace('__VERSION__', JSON.stringify(sum.digest('hex').slice(0, 12)));
    },
  };
}

export default defineConfig({
  base: './',
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: { page: 'index.html', sw: 'src/sw/sw.ts' },
      output: {
        entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  worker: { format: 'es' },
  plugins: [offlineFiles()],
});
