/** The part of papaparse that is used. Its published types let Node's types into core. */
declare module 'papaparse' {
  interface Options {
    readonly delimiter: string;
    readonly newline: '\n' | '\r' | '\r\n';
    readonly quoteChar: string;
    readonly header: false;
    readonly dynamicTyping: false;
  }
  interface Parsed {
    readonly data: string[][];
    readonly errors: { readonly code: string; readonly row?: number }[];
    readonly meta: { readonly cursor: number };
  }
  class Parser {
    constructor(options: Options);
    parse(text: string, baseIndex: number, ignoreLastRow: boolean): Parsed;
  }
  const exported: { readonly Parser: typeof Parser };
  export default exported;
}
