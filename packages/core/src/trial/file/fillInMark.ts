/** Mark in a trial file for a value that only the owner knows. A file that still holds it is refused. */
export const fillInMark = 'FILL IN';
