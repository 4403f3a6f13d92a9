/**
 * A gateway that sends packs of readings over a real socket and remembers what was acknowledged. It meets
 * dead sockets and refused connections as gateways do: it sends the same pack again, and now and then
 * gives one up, or sends once more what was acknowledged already.
 */
import { setTimeout as wait } from 'node:timers/promises';
import {
  senmlMediaType,
  senmlPackOf,
  senmlWriteFaultInWords,
  type WritableReading,
} from '../../wire/senml-write.ts';
import type { Dice } from '../simulated/dice.ts';
import type { Ledger } from './ledger.ts';

/** Where readings are sent. */
export type Door = { readonly address: string; readonly key: string };

/** The door took it, asks to come again, refuses for good, or nobody answered. */
type SendOutcome = 'acknowledged' | 'again' | 'refused' | 'no-answer';

type Sent = {
  readonly outcome: SendOutcome;
  readonly words: string;
  readonly status: number;
};

const answerMilliseconds = 15_000;

export const sendPack = async (
  { address, key }: Door,
  readings: readonly WritableReading[],
): Promise<Sent> => {
  const pack = senmlPackOf(readings, 'with-base-fields');
  if (!pack.ok) throw new Error(senmlWriteFaultInWords(pack.fault));
  try {
    const answer = await fetch(address, {
      method: 'POST',
      headers: { authorization: `Bearer ${key}`, 'content-type': senmlMediaType },
      body: JSON.stringify(pack.value),
      signal: AbortSignal.timeout(answerMilliseconds),
    });
    const words = await answer.text();
    const { status } = answer;
    if (answer.ok) return { outcome: 'acknowledged', words, status };
    return { outcome: status >= 500 || status === 429 ? 'again' : 'refused', words, status };
  } catch (error) {
    return { outcome: 'no-answer', words: String(error), status: 0 };
  }
};

/** Shares of packs that a gateway gives up after a failed try, and that it sends again for nothing. */
const givenUpShare = 0.1;
const sentAgainShare = 0.1;

export type GatewayWork = {
  /** Asked before each try, since a cellar may come back elsewhere. */
  readonly door: () => Door;
  readonly dice: Dice;
  readonly ledger: Ledger;
  /** The readings of the next pack; null where there is nothing left to send. */
  readonly next: () => readonly WritableReading[] | null;
  readonly pauseMilliseconds: readonly [number, number];
  readonly persistent: boolean;
};

/** Sends until told to stop, or until there is nothing left. */
export const runGateway = async (work: GatewayWork, stop: AbortSignal): Promise<void> => {
  const { door, dice, ledger, pauseMilliseconds } = work;
  while (!stop.aborted) {
    const readings = work.next();
    if (readings === null) return;
    const acknowledge = ledger.open(readings);
    for (;;) {
      const { outcome, words, status } = await sendPack(door(), readings);
      if (outcome === 'acknowledged') {
        acknowledge();
        if (dice.chance(sentAgainShare)) await sendPack(door(), readings);
        break;
      }
      if (outcome === 'refused') {
        ledger.refuse(`${status}: ${words}`);
        break;
      }
      if (stop.aborted || (!work.persistent && dice.chance(givenUpShare))) break;
      await wait(dice.uniform(20, 120));
    }
    await wait(dice.uniform(...pauseMilliseconds));
  }
};
