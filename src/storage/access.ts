/** Who may do what: roles and grants. Pure data. */

export const roles = ['sensor', 'viewer', 'operator', 'keeper'] as const;

export type Role = (typeof roles)[number];

/** What a valid key or session allows. */
export type Grant = {
  readonly keyId: string;
  /** Who holds the key, as the keeper named it; the journal writes it beside each act. */
  readonly title: string;
  readonly role: Role;
  /** Vessels a sensor's key may write; null where the role is not bound to vessels. */
  readonly vessels: readonly string[] | null;
  /** Unix seconds from which it opens nothing; null for a key without an end. */
  readonly expiresAt: number | null;
};

export type KeyListing = Grant & {
  /** Unix seconds. */
  readonly createdAt: number;
  readonly revokedAt: number | null;
  /** When it last opened the cellar, to the hour; null if it never has, or not since this is written down. */
  readonly lastUsedAt: number | null;
};
