/** Room for a picture before it is drawn, in steps that the style sheet knows, px. */
export const heightStep = 40;
