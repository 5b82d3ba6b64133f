/** What has to be said beside any forecast. */
export function stripCautions(quickestS: number | null): string[] {
  const cautions = [
    'A forecast is no promise: launch, track and driver move it by more than most parts do.',
    'What a car and its driver need at a strip is decided by that strip’s rulebook: read it before going.',
  ];
  // Common practice, no source: rulebooks commonly begin to ask for more equipment somewhere below 14 s.
  if (quickestS !== null && quickestS < 14)
    cautions.push(
      `The forecast reaches ${quickestS.toFixed(2)} s: at such times rules about helmet, harness, cage or licence commonly begin. Read yours.`,
    );
  return cautions;
}
