/** The parameters of paths, each with what it is and the value that the examples use. Pure data. */

type Parameter = {
  readonly words: string;
  readonly example: string;
  readonly pattern?: string;
};

const shortName = '^[a-z0-9][a-z0-9-]{0,62}$';

export const parameters: Readonly<Record<string, Parameter>> = {
  cellar: { words: 'Short name of the cellar.', example: 'skerrow-yard', pattern: shortName },
  vessel: { words: 'Short name of the vessel.', example: 'keg-3', pattern: shortName },
  batch: { words: 'Short name of the batch.', example: 'haymaker-12', pattern: shortName },
  alarm: {
    words: 'Name of the alarm within its vessel, as the list of alarms gives it.',
    example: 'over-pressure',
  },
  key: { words: 'Name of the key, as the list of keys gives it.', example: 'key_1f0c' },
  receiver: {
    words: 'Name of the receiver, as the list of receivers gives it.',
    example: 'rcv_7d2e',
  },
};

/** The names of the parameters of a path, in their order. */
export const parametersOf = (path: string): readonly string[] =>
  [...path.matchAll(/\{([a-z]+)\}/g)].flatMap(([, name]) => (name === undefined ? [] : [name]));
