/** What was sent to a store and what of it was acknowledged, as a gateway of our own would remember it. */
import type { WritableReading } from '../../wire/senml-write.ts';

export type SentPack = {
  readonly readings: readonly WritableReading[];
  readonly acknowledged: boolean;
};

export class Ledger {
  readonly #packs: { readonly readings: readonly WritableReading[]; acknowledged: boolean }[] = [];
  readonly #refusals: string[] = [];

  get packs(): readonly SentPack[] {
    return this.#packs;
  }

  /** Answers that were neither a receipt nor a request to come again. */
  get refusals(): readonly string[] {
    return this.#refusals;
  }

  get acknowledgedPacks(): number {
    return this.#packs.filter(({ acknowledged }) => acknowledged).length;
  }

  /** Writes a pack down before it is sent; call what is returned once it is acknowledged. */
  open(readings: readonly WritableReading[]): () => void {
    const pack = { readings, acknowledged: false };
    this.#packs.push(pack);
    return () => {
      pack.acknowledged = true;
    };
  }

  refuse(words: string): void {
    this.#refusals.push(words);
  }
}
