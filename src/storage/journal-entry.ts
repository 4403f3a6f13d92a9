/** What the journal of a cellar holds: who did what and when. Pure data. */

export const journalActs = [
  'vessel-made',
  'vessel-described',
  'batch-started',
  'stage-changed',
  'limits-set',
  'deed-recorded',
  'batch-ended',
  'sample-taken',
  'alarm-acknowledged',
  'alarm-reset',
  'alarm-shelved',
  'alarm-unshelved',
  'alarm-removed-from-service',
  'alarm-returned-to-service',
  'key-made',
  'key-revoked',
  'receiver-added',
  'receiver-removed',
  'receiver-duty-set',
  'receiver-heartbeat-set',
  'receiver-tested',
  'receiver-secret-replaced',
  'dead-letters-sent-again',
  'tries-refused',
  'kept-days-set',
  'legal-hold-set',
  'legal-hold-lifted',
  'history-filled',
  'archive-taken',
] as const;

export type JournalEntry = {
  /** Unix seconds. */
  readonly at: number;
  /** Title of the key with which it was done. */
  readonly by: string;
  readonly act: (typeof journalActs)[number];
  /** The vessel, batch, key, receiver or cellar that it was done to. */
  readonly about: string;
  readonly note: string | null;
  /** Figures of the act, such as how many readings came of it. */
  readonly facts: Readonly<Record<string, string | number | null>>;
};

/** An entry with its place in the journal. */
export type JournalRow = JournalEntry & { readonly id: number };
