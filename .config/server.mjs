// The small static server behind `npm start` and the end-to-end tests: loopback only, one folder, the policy on every response.
import { createReadStream } from 'node:fs';
import { realpath, stat } from 'node:fs/promises';
import { createServer } from 'node:http';
import { extname, join, sep } from 'node:path';
import { RESPONSE_HEADERS } from './headers.mjs';

/** Every response of ours says so by this header; `npm start` tells its own server from another program by it. */
export const OURS = 'x-catchbench';

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.woff': 'font/woff',
};

/** The file a request path names inside root, or null. Symbolic links that lead out of root are not followed. */
async function fileFor(root, url) {
  let path;
  try {
    path = decodeURIComponent(new URL(url, 'http://localhost').pathname);
  } catch {
    return null;
  }
  if (path.includes('\0') || path.includes('\\')) return null;
  if (path.split('/').some((part) => part.startsWith('.'))) return null;
  try {
    const top = await realpath(root);
    const file = await realpath(join(top, path.endsWith('/') ? path + 'index.html' : path));
    if (!file.startsWith(top + sep)) return null;
    const found = await stat(file);
    return found.isFile() ? { file, size: found.size } : null;
  } catch {
    return null;
  }
}

function answer(root, version) {
  return async (request, response) => {
    for (const [name, value] of Object.entries(RESPONSE_HEADERS)) response.setHeader(name, value);
    response.setHeader(OURS, version);
    const plain = (status, text) => {
      response.writeHead(status, {
        'Content-Type': 'text/plain; charset=utf-8',
        'Cache-Control': 'no-store',
      });
      response.end(request.method === 'HEAD' ? undefined : text + '\n');
    };
    if (request.method !== 'GET' && request.method !== 'HEAD') {
      response.setHeader('Allow', 'GET, HEAD');
      plain(405, 'Only reading is possible here.');
      return;
    }
    const found = await fileFor(root, request.url ?? '/');
    if (found === null) {
      plain(404, 'There is nothing at this address.');
      return;
    }
    const hashed = /\/assets\/[^/]+$/.test(found.file.split(sep).join('/'));
    response.writeHead(200, {
      'Content-Type': TYPES[extname(found.file).toLowerCase()] ?? 'application/octet-stream',
      'Content-Length': found.size,
      'Cache-Control': hashed ? 'public, max-age=31536000, immutable' : 'no-cache',
    });
    if (request.method === 'HEAD') {
      response.end();
      return;
    }
    createReadStream(found.file)
      .on('error', () => response.destroy())
      .pipe(response);
  };
}

function listen(handler, port, host) {
  return new Promise((done, failed) => {
    const server = createServer((request, response) => {
      handler(request, response).catch(() => response.destroy());
    });
    server.once('error', failed);
    server.listen(port, host, () => {
      server.off('error', failed);
      done(server);
    });
  });
}

/**
 * Serve the folder `root` on the loopback. Port 0 takes any free port (tests); a given port that is taken
 * rejects with code EADDRINUSE, and is never exchanged for another.
 * Returns { port, origin, close }.
 */
export async function serve({ root, port = 0, version = 'test' }) {
  const handler = answer(root, version);
  const servers = [await listen(handler, port, '127.0.0.1')];
  const bound = servers[0].address().port;
  try {
    // Browsers may try ::1 first for "localhost": hold it too, so that no other program can answer in our name.
    servers.push(await listen(handler, bound, '::1'));
  } catch (error) {
    if (error.code === 'EADDRINUSE' && port !== 0) {
      servers[0].close();
      throw error;
    }
  }
  return {
    port: bound,
    origin: `http://localhost:${bound}`,
    close: async () => {
      await Promise.all(
        servers.map(
          (server) =>
            new Promise((done) => {
              server.close(done);
              server.closeAllConnections();
            }),
        ),
      );
    },
  };
}

/** Who answers at this port: 'ours', 'another' program, or 'nobody'. */
export async function whoAnswers(port) {
  for (const host of ['127.0.0.1', '[::1]']) {
    try {
      const response = await fetch(`http://${host}:${port}/`, {
        method: 'HEAD',
        redirect: 'manual',
        signal: AbortSignal.timeout(2000),
      });
      return response.headers.has(OURS) ? 'ours' : 'another';
    } catch (error) {
      const refused = error?.cause?.code ?? error?.cause?.errors?.[0]?.code;
      if (!['ECONNREFUSED', 'EADDRNOTAVAIL', 'ENETUNREACH', 'EAFNOSUPPORT'].includes(refused))
        return 'another';
    }
  }
  return 'nobody';
}
