/**
 * What monitoring says is told lower-case and bare, for use inside a sentence; on a page it stands as
 * a sentence of its own. Pure: no I/O, no clock.
 */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const asSentence = (text: string): string =>
  /[.!?\u2026]$/u.test(text) ? capital(text) : `${capital(text)}.`;
