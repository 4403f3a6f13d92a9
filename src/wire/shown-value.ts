/**
 * How a refused value is shown to a person: short, on one line, safe to log and to print.
 * Text from outside is cut, quoted and escaped, so that it can neither flood a log nor forge a line
 * in it, and structures are named rather than printed, so that deep nesting costs nothing.
 * Pure: no I/O, no clock.
 */

/**
 * Characters of a text that are shown. Chosen by Gyleward to hold a full `{vessel}/{channel}` of
 * usual length; longer shows more of a bad value and lengthens every log line.
 */
const longestShown = 60;

const escaped = (character: string): string =>
  `\\u{${(character.codePointAt(0) ?? 0).toString(16)}}`;

const quoted = (text: string): string => {
  const cut = text.length > longestShown ? `${text.slice(0, longestShown)}…` : text;
  // JSON.stringify escapes quotes, C0 controls and lone surrogates; the rest of the invisible
  // characters (C1, bidirectional marks, line separators) is left to the second step.
  return JSON.stringify(cut).replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, escaped);
};

export const shownValue = (value: unknown): string => {
  switch (typeof value) {
    case 'string':
      return quoted(value);
    case 'number':
    case 'boolean':
      return String(value);
    case 'object':
      if (value === null) return 'null';
      return Array.isArray(value) ? 'an array' : 'an object';
    default:
      return `a value of type ${typeof value}`;
  }
};
