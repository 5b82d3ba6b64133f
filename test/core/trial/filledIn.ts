/** What an owner would write for each key that is marked. */
const answers: Readonly<Record<string, string>> = {
  mass: '3478 lb',
  'fuel-in-tank': '40 L',
  driver: '82 kg',
  tire: '245/45R17',
  'boost-control': 'fixed-ratio',
  outing: 'day 1',
  temperature: '22 degC',
  pressure: '99.2 kPa',
  humidity: '45 %',
};

/** Replaces the marks and nothing else. */
export function filledIn(text: string): string {
  return text
    .replace('    driver: FILL IN', '    driver: out')
    .replaceAll(/^(\s*)([a-z-]+): FILL IN/gm, (whole, space: string, key: string) =>
      key in answers ? `${space}${key}: ${answers[key]}` : whole,
    );
}
