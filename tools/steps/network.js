import { readFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';
import { filesBelow } from '../files.js';
import folders from '../folders.cjs';
import { root } from '../process.js';

/** Modules that open connections or start programs. */
const modules =
  /^(?:node:)?(?:https?|http2|net|dns|tls|dgram|inspector|child_process|cluster|undici|node-fetch|axios|playwright-core)(?:\/|$)/;

/** Names by which a browser or Node opens connections. */
const names = new Set([
  ...['fetch', 'XMLHttpRequest', 'WebSocket', 'WebSocketStream', 'EventSource', 'WebTransport', 'RTCPeerConnection', 'sendBeacon'],
  ...['importScripts', 'serviceWorker', 'getBuiltinModule'],
]);

/**
 * Places where a source opens a connection, starts a program, or could.
 * @param {string} file @param {string} text @returns {string[]}
 */
function connections(file, text) {
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2023, true);
  /** @type {string[]} */
  const found = [];
  /** @param {ts.Node} node */
  const walk = (node) => {
    const named = ts.isIdentifier(node) && names.has(node.text);
    const said = ts.isStringLiteralLike(node) && (modules.test(node.text) || names.has(node.text));
    const isType = ts.isStringLiteralLike(node) && ts.isLiteralTypeNode(node.parent);
    if (named || (said && !isType)) {
      const { line } = source.getLineAndCharacterOfPosition(node.getStart());
      found.push(`${file} line ${line + 1}: ${node.getText()} can open a connection or start a program`);
    }
    ts.forEachChild(node, walk);
  };
  walk(source);
  return found;
}

/** The one place that starts a program: notebooks have their still pictures made by a browser, where there is one. */
const startsBrowser = 'packages/notebook/src/stillPictures.ts';

/** No network code and no other program in the product. */
export const network = {
  name: 'network',
  what: 'nothing in the packages opens a connection or starts a program',
  async run() {
    const files = Object.keys(folders.packageArrows)
      .filter((name) => name !== 'simulation')
      .flatMap((name) => ['src', 'page', 'bin'].flatMap((folder) => filesBelow(`packages/${name}/${folder}`, /\.(ts|js|cjs|mjs)$/)));
    const problems = files.flatMap((file) =>
      connections(file, readFileSync(path.join(root, file), 'utf8')).filter(
        (found) => file !== startsBrowser || !found.includes("'playwright-core'"),
      ),
    );
    if (files.length < 100) problems.push(`only ${files.length} files were looked at`);
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: `${files.length} files`,
    };
  },
};
