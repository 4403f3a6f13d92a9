/**
 * Takes keys and signing secrets out of text that is kept or logged, wherever somebody may have typed one: into a
 * title, a note or an address. Pure.
 */
const secrets = /gyl\.[a-z0-9-]{1,63}\.[A-Za-z0-9_-]{20,}|whsec_[A-Za-z0-9+/=_-]{8,}/g;

export const redacted = (text: string): string => text.replaceAll(secrets, '(secret left out)');
