export { type Band, bandOf, type CurveErrors, type SharedError } from './band.js';
