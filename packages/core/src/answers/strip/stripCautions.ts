/** What has to be said beside a forecast, or beside slips. */
export function stripCautions(quickestS: number | null, of: 'forecast' | 'slips' = 'forecast'): string[] {
  const cautions = [
    ...(of === 'forecast' ? ['A forecast is no promise: launch, track and driver move it by more than most parts do.'] : []),
    'What a car and its driver need at a strip is decided by that strip’s rulebook: read it before going.',
  ];
  // Common practice, no source: rulebooks commonly begin to ask for more equipment somewhere below 14 s.
  if (quickestS !== null && quickestS < 14)
    cautions.push(
      `The ${of === 'forecast' ? 'forecast reaches' : 'quickest slip says'} ${quickestS.toFixed(2)} s: at such times rules about helmet, harness, cage or licence commonly begin. Read yours.`,
    );
  return cautions;
}
