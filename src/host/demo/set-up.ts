/** Makes the cellar of Skerrow Yard over HTTP, with its vessels, batches, keys and a receiver. */
import { foundCellar } from '../found-cellar.ts';
import { batches, type PlacedBatch, skerrowYard, vessels } from '../scenario/skerrow-yard.ts';
import { type CellarClient, cellarClient } from './cellar-client.ts';
import type { WebhookReceiver } from './webhook-receiver.ts';

export type Doors = {
  readonly keeperKey: string;
  readonly keeper: CellarClient;
  /** Holds a key that may write readings and nothing else. */
  readonly gateway: CellarClient;
  /** The door of a person by name; made at the first call. */
  readonly person: (name: string) => Promise<CellarClient>;
};

export const startBatch = async (keeper: CellarClient, batch: PlacedBatch): Promise<void> => {
  const { endedAt: _, deeds = [], ...body } = batch;
  await keeper.create('batches', {
    ...body,
    deeds: deeds.map(({ deed, at, note }) => ({ deed, at, note })),
  });
};

export const setUp = async (
  url: string,
  operatorSecret: string,
  startAt: number,
  receiver: WebhookReceiver,
): Promise<Doors> => {
  const keeperKey = await foundCellar(url, operatorSecret, skerrowYard);
  if (keeperKey === null) throw new Error('the throwaway cellar exists already');
  const door = (key: string): CellarClient => cellarClient(url, skerrowYard.cellar, key);
  const keeper = door(keeperKey);
  for (const vessel of vessels) await keeper.create('vessels', vessel);
  for (const batch of batches(startAt)) {
    if (batch.startedAt <= startAt) await startBatch(keeper, batch);
  }
  receiver.useSecret(await keeper.addReceiver('Yard bell', receiver.url));
  const names = vessels.map(({ vessel }) => vessel);
  const gateway = door(await keeper.makeKey('Gateway in the tank room', 'sensor', names));
  const people = new Map<string, CellarClient>();
  return {
    keeperKey,
    keeper,
    gateway,
    person: async (name) => {
      const known = people.get(name) ?? door(await keeper.makeKey(name, 'operator', null));
      people.set(name, known);
      return known;
    },
  };
};
