// danfo.js loads this at start, though only its spreadsheet readers use it. Pullproof shows tables and reads none, so asking is a mistake.
module.exports = new Proxy(
  {},
  {
    get(_target, name) {
      if (typeof name === 'symbol' || name === '__esModule' || name === 'default' || name === 'then') return undefined;
      throw new Error(`spreadsheets are not read here (xlsx.${name}): save the sheet as CSV`);
    },
  },
);
