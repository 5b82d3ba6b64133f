import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { root } from './process.js';

/**
 * Files below a folder whose path matches, from the root of the checkout, in order. A folder that is not there holds none.
 * @param {string} folder
 * @param {RegExp} pattern
 * @returns {string[]}
 */
export function filesBelow(folder, pattern) {
  if (!existsSync(path.join(root, folder))) return [];
  return readdirSync(path.join(root, folder), { recursive: true, encoding: 'utf8' })
    .map((file) => path.posix.join(folder, file))
    .filter((file) => pattern.test(file) && !/(^|\/)(node_modules|dist)\//.test(file))
    .sort();
}

/** @returns {string[]} names of the packages that are there */
export function packageNames() {
  return readdirSync(path.join(root, 'packages')).filter((name) => existsSync(path.join(root, 'packages', name, 'package.json')));
}
