/** Made by `npm run build` (tools/pageParts.js): what runs and what dresses every page, with the hashes that its policy names. */
export declare const pageParts: {
  readonly script: string;
  readonly scriptHash: string;
  readonly style: string;
  readonly styleHash: string;
  /** For a reader without scripts: what a script would show is shown. */
  readonly bareStyle: string;
  readonly bareStyleHash: string;
};
