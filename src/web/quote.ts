/** Puts an offending value into an error message: short, and without control characters. */
const shownCharacters = 60;

export const quote = (value: unknown): string => {
  let text: string;
  try {
    text = JSON.stringify(value) ?? String(value);
  } catch {
    text = String(value);
  }
  // JSON.stringify escapes control characters; what it leaves are U+007F to U+009F and bidi marks.
  const clean = text.replace(/[\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, '?');
  return clean.length > shownCharacters ? `${clean.slice(0, shownCharacters)}…` : clean;
};
