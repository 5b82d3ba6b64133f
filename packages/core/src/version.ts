/** Version of the product, as in package.json; a test holds them together. */
export const version: string = '0.1.0';
