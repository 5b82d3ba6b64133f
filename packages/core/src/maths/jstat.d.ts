declare module 'jstat' {
  interface Distribution {
    inv(probability: number, ...parameters: number[]): number;
    cdf(x: number, ...parameters: number[]): number;
  }
  const jStat: { readonly studentt: Distribution; readonly normal: Distribution; readonly chisquare: Distribution };
  const exported: { readonly jStat: typeof jStat };
  export default exported;
}
