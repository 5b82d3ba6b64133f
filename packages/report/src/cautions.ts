/** What must be said wherever a result asks for more driving. The README says the same words; a test holds the two together. */
export const cautions: readonly string[] = [
  'Full-throttle pulls belong on a closed course or a dynamometer, never on a public road. Local law applies.',
  'A boosted engine that runs lean or knocks fails fast. If the warning line says stop, stop: no more pulls until the cause is known.',
  "Keep hands, sleeves and tools away from belts and rotors. Changing a pulley changes belt tension and rotor speed; the maker's limits rule.",
  "What a car and a driver need at a strip is decided by the strip's rulebook and licensed practice, not by a program.",
];
