/** What must be said wherever a result asks for more driving. One place: the report, the terminal and the README take it from here. */
export const cautions: readonly string[] = [
  'Full-throttle pulls belong on a closed course or a dynamometer, never on a public road.',
  'A boosted engine that runs lean or knocks fails fast. If the warning line says stop, or you hear, feel or see anything wrong: stop.',
  'Keep hands, clothes and cables away from belts, pulleys and rotors, and let nobody stand in line with them while the engine runs.',
  "A strip's rulebook and its licensed practice decide what a car and its driver need there. Nothing here replaces them.",
  'Local law applies to the car, to its changes and to where it is driven.',
  'These are estimates from logs, with the bands shown. They do not replace the judgement of whoever tunes the engine.',
];
