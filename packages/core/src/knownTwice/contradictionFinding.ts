import type { Finding } from '../findings/index.js';
import type { Contradiction } from '../result/index.js';

/** A contradiction as a finding: both sources, how far apart, what likely happened, what it does to power. */
export function contradictionFinding({ name, setups, sources, difference, effects, mistakes, fix }: Contradiction): Finding {
  const told = sources.map(({ what, shown, where }) => `${what} is ${shown} (${where})`).join(', but ');
  const likely = mistakes.map(({ sentence }) => sentence).join('; or ');
  const most = Math.max(...effects.map(({ share }) => Math.abs(share)), 0);
  const worth =
    most < 0.005
      ? 'Power hardly depends on it.'
      : `It can put power off by ${percent(most)}${common(effects) ? ', in both setups alike' : ''}.`;
  return {
    code: 'W_CONTRADICTION',
    severity: 'warning',
    message: `${capital(name)}${setups.length === 1 ? ` of ${setups[0]}` : ''}: ${told}: ${difference}. Most likely ${likely}. ${worth}`,
    where: setups.length === 1 ? { setup: setups[0]! } : {},
    fix,
  };
}

/** True where every setup is moved alike, so that the difference hardly is. */
function common(effects: Contradiction['effects']): boolean {
  const shares = effects.map(({ share }) => share);
  return effects.length > 1 && Math.max(...shares) - Math.min(...shares) < 0.005;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(share < 0.0995 ? 1 : 0)}%`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
