// danfo.js asks for all of tfjs, some 240 MB more than showing a table needs. Core, the plain backend, and the operations as methods of tensors do.
const core = require('@tensorflow/tfjs-core');
require('@tensorflow/tfjs-backend-cpu');

const { readdirSync } = require('node:fs');
const path = require('node:path');

// The names of the operations that tfjs itself puts on tensors: one file each in this folder.
const chained = path.join(path.dirname(require.resolve('@tensorflow/tfjs-core/package.json')), 'dist/public/chained_ops');
for (const file of readdirSync(chained)) {
  const name = file.endsWith('.js') && !file.includes('_test') ? operationNamed(file.slice(0, -3)) : undefined;
  if (name === undefined || name in core.Tensor.prototype) continue;
  core.Tensor.prototype[name] = function (...operands) {
    return core[name](this, ...operands);
  };
}

/** Exported name of the operation in a file, whose name is in snake case. */
function operationNamed(file) {
  const plain = file.replace(/_/g, '').toLowerCase();
  return Object.keys(core).find((name) => typeof core[name] === 'function' && name.toLowerCase() === plain);
}

module.exports = core;
