/** Where a number comes from. */
export type Standing = 'measured' | 'entered' | 'assumed' | 'model';
