/** The part of papaparse that tests compare with. Its published types ask for Node's, which core must not see. */
declare module 'papaparse' {
  interface Parsed<Row> {
    readonly data: Row[];
    readonly errors: readonly { readonly code: string; readonly row?: number }[];
  }
  const exported: {
    parse<Row>(
      text: string,
      options?: {
        readonly delimiter?: string;
        readonly newline?: '\n' | '\r' | '\r\n';
        readonly header?: boolean;
        readonly skipEmptyLines?: boolean;
      },
    ): Parsed<Row>;
  };
  export default exported;
}
