// A static file server for this machine only, as plain as any host: no special headers.
//
//   node static-server.mjs FOLDER [PORT] [SUB-PATH]

import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { createServer } from 'node:http';
import { extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

const TYPES = {
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
  '.woff2': 'font/woff2',
};

/** The file that a request asks for, or undefined where there is none under `folder`. */
async function fileFor(folder, subPath, url) {
  const path = decodeURIComponent(new URL(url, 'http://localhost').pathname);
  if (!path.startsWith(subPath)) return undefined;
  const rest = path.slice(subPath.length);
  const file = normalize(
    join(folder, rest === '' || rest.endsWith('/') ? `${rest}index.html` : rest),
  );
  if (!file.startsWith(normalize(folder) + sep)) return undefined;
  const found = await stat(file).catch(() => undefined);
  return found?.isFile() ? { file, size: found.size } : undefined;
}

/** Serves `folder` under `subPath`; port 0 takes a free one. Gives the server and its address. */
export async function serve(folder, { port = 0, subPath = '/' } = {}) {
  const server = createServer((request, response) => {
    fileFor(folder, subPath, request.url ?? '/')
      .catch(() => undefined)
      .then((found) => {
        if (found === undefined) {
          response.writeHead(404, { 'content-type': 'text/plain' }).end('There is nothing here.\n');
          return;
        }
        response.writeHead(200, {
          'cache-control': 'no-cache',
          'content-length': found.size,
          'content-type': TYPES[extname(found.file)] ?? 'application/octet-stream',
        });
        createReadStream(found.file).pipe(response);
      });
  });
  await new Promise((done, failed) => {
    server.once('error', failed);
    server.listen(port, '127.0.0.1', done);
  });
  return {
    server,
    address: `http://localhost:${server.address().port}${subPath}`,
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [folder, port = '8417', subPath = '/'] = process.argv.slice(2);
  try {
    const { address } = await serve(folder, { port: Number(port), subPath });
    console.log(`Plumbline is at ${address} (Ctrl+C ends it)`);
  } catch (error) {
    if (error.code !== 'EADDRINUSE') throw error;
    console.error(`Port ${port} is taken. Give another one: scripts/serve ${Number(port) + 1}`);
    process.exit(1);
  }
}
