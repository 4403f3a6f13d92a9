/**
 * Detectors speak lower-case and bare, for use inside a sentence; where their words stand alone they are made a
 * sentence of. Pure: no I/O, no clock.
 */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const asSentence = (text: string): string =>
  /[.!?\u2026]$/u.test(text) ? capital(text) : `${capital(text)}.`;
