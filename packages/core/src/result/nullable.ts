/** JSON has no NaN: a number that is not finite becomes null. */
export function nullable(value: number | null): number | null {
  return value !== null && Number.isFinite(value) ? value : null;
}
