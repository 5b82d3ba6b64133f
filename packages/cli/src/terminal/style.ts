import type { Io, Output } from '../io.js';

/** How text may look on an output. */
export interface Style {
  /** Columns to stay within. */
  readonly width: number;
  /** False where only ASCII can be trusted to show. */
  readonly unicode: boolean;
  readonly bold: (text: string) => string;
  readonly faint: (text: string) => string;
  readonly red: (text: string) => string;
  readonly yellow: (text: string) => string;
}

/** Colours only on a terminal and never against NO_COLOR; other signs than ASCII only where the locale says UTF-8. */
export function styleFor(output: Output, env: Io['env']): Style {
  const coloured = output.isTTY && (env.NO_COLOR ?? '') === '' && env.TERM !== 'dumb';
  const sgr = (code: number) => (text: string) => (coloured && text !== '' ? `\u001b[${code}m${text}\u001b[0m` : text);
  return {
    width: Math.min(100, Math.max(40, output.isTTY ? output.columns : 80)),
    unicode: env.TERM !== 'dumb' && isUtf8(env),
    bold: sgr(1),
    faint: sgr(2),
    red: sgr(31),
    yellow: sgr(33),
  };
}

function isUtf8(env: Io['env']): boolean {
  const locale = [env.LC_ALL, env.LC_CTYPE, env.LANG].find((value) => value !== undefined && value !== '');
  return locale === undefined ? env.WT_SESSION !== undefined : /utf-?8/i.test(locale);
}

const ascii: Readonly<Record<string, string>> = {
  ...{
    '±': '+/-',
    '–': '-',
    '—': '-',
    '−': '-',
    '…': '...',
    '°': 'deg',
    '²': '^2',
    '³': '^3',
    '×': 'x',
    '·': '*',
    λ: 'lambda',
    ρ: 'rho',
    µ: 'u',
  },
  ...{ '→': '->', '“': '"', '”': '"', '‘': "'", '’': "'", '≥': '>=', '≤': '<=', '\u00a0': ' ', '\u202f': ' ' },
};

/** Text as the output can show it: our own signs in ASCII where need be; what is left beyond ASCII is escaped. */
export function shownBy(text: string, style: Style): string {
  if (style.unicode) return text;
  return text.replaceAll(/[^\u0000-\u007f]/gu, (sign) => ascii[sign] ?? `\\u{${sign.codePointAt(0)!.toString(16)}}`);
}
