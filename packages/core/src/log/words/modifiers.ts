/** Words that make a channel a wish, a limit or a correction instead of a reading. */
export const commandedWords: ReadonlySet<string> = new Set(
  'commanded command target desired requested request setpoint set demand demanded cmd tgt req wanted goal soll sollwert zielwert consigne cible commande objetivo deseado deseada obiettivo richiesto richiesta alvo desejado desejada comando'.split(
    ' ',
  ),
);

/** Words after which a name no longer means the quantity it begins with. */
export const otherWords: ReadonlySet<string> = new Set(
  'limit limiter max maximum min minimum error err deviation correction corr trim adder compensation comp multiplier factor status state flag mode learn learned adaptive table index bin raw adc count counts delta rate derivative oil gearbox fluid differential catalyst catalytic cat turbine fan idle alternator cylinder cyl peak average avg mean total accumulated std variance predicted model estimated ref reference cutoff cut enrichment warning alarm switch torque power return variation change changes trend gradient slope difference diff evap egr vapor vapour purge tank mil cleared variacion cambio variazione variacao anderung aenderung mittelwert mittel durchschnitt maximal maximale moyenne moyen promedio media medio grenzwert fehler rucklauf ruecklauf retour retorno ritorno korrektur ol getriebe oel huile limite erreur aceite olio oleo'.split(
    ' ',
  ),
);

/** Words that say nothing about what is measured. */
export const neutralWords: ReadonlySet<string> = new Set(
  'sensor signal value actual measured current instantaneous instant inst the of from ecu obd ecm pcm can bus live channel ch ist istwert wert valeur capteur sensore valor sensorwert messwert de du des della del do da la le les il el o a von der die das reading input in'.split(
    ' ',
  ),
);

const positions: ReadonlyMap<string, string> = new Map([
  ['fl', 'front-left'],
  ['lf', 'front-left'],
  ['front left', 'front-left'],
  ['left front', 'front-left'],
  ['vl', 'front-left'],
  ['vorne links', 'front-left'],
  ['avant gauche', 'front-left'],
  ['delantera izquierda', 'front-left'],
  ['anteriore sinistra', 'front-left'],
  ['dianteira esquerda', 'front-left'],
  ['fr', 'front-right'],
  ['rf', 'front-right'],
  ['front right', 'front-right'],
  ['right front', 'front-right'],
  ['vr', 'front-right'],
  ['vorne rechts', 'front-right'],
  ['avant droite', 'front-right'],
  ['delantera derecha', 'front-right'],
  ['anteriore destra', 'front-right'],
  ['dianteira direita', 'front-right'],
  ['rl', 'rear-left'],
  ['lr', 'rear-left'],
  ['rear left', 'rear-left'],
  ['left rear', 'rear-left'],
  ['hl', 'rear-left'],
  ['hinten links', 'rear-left'],
  ['arriere gauche', 'rear-left'],
  ['trasera izquierda', 'rear-left'],
  ['posteriore sinistra', 'rear-left'],
  ['traseira esquerda', 'rear-left'],
  ['rr', 'rear-right'],
  ['rear right', 'rear-right'],
  ['right rear', 'rear-right'],
  ['hr', 'rear-right'],
  ['hinten rechts', 'rear-right'],
  ['arriere droite', 'rear-right'],
  ['trasera derecha', 'rear-right'],
  ['posteriore destra', 'rear-right'],
  ['traseira direita', 'rear-right'],
  ['front', 'front'],
  ['rear', 'rear'],
  ['driven', 'driven'],
  ['undriven', 'undriven'],
]);

/** Wheel named by a name's words, such as `front-left`; null when none is. */
export function wheelPosition(tokens: readonly string[]): string | null {
  for (let i = 0; i < tokens.length; i++) {
    const pair = positions.get(`${tokens[i]} ${tokens[i + 1] ?? ''}`);
    if (pair !== undefined) return pair;
  }
  for (const token of tokens) {
    const single = positions.get(token);
    if (single !== undefined) return single;
  }
  return null;
}

/** Cylinder bank named by a name's words: `bank 1`, `B1S1`, `left bank`, or a figure at the end. Null when none is. */
export function bankOf(tokens: readonly string[]): number | null {
  const text = ` ${tokens.join(' ')} `;
  const named = / (?:bank|b|banc|bancata|banco|zylinderbank) ?([1-4]) /.exec(text);
  if (named !== null) return Number(named[1]);
  if (/ bank a | left bank | bank left /.test(text)) return 1;
  if (/ bank b | right bank | bank right /.test(text)) return 2;
  const last = / ([1-4]) $/.exec(text);
  return last === null ? null : Number(last[1]);
}
