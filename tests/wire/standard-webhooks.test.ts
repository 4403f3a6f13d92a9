/**
 * Standard Webhooks 1.0.0, by the headings of the specification. Outside truth: the vector of the
 * reference repository's Go test (fixtures/standards/wire_vectors.json) and the reference JavaScript
 * library, `standardwebhooks`, as oracle in both directions.
 */
import fc from 'fast-check';
import { Webhook } from 'standardwebhooks';
import { describe, expect, it } from 'vitest';
import { standard_webhooks as vector } from '../../fixtures/standards/wire_vectors.json' with {
  type: 'json',
};
import {
  webhookKeyOf,
  webhookSecretFaultInWords,
  webhookSecretOf,
} from '../../src/wire/webhook-secret.ts';
import {
  signWebhook,
  type WebhookHeaders,
  type WebhookMessage,
  webhookFaultInWords,
} from '../../src/wire/webhook-signature.ts';
import { verifyWebhook } from '../../src/wire/webhook-verify.ts';

const message: WebhookMessage = {
  id: vector.msg_id,
  timestampSeconds: vector.timestamp,
  body: vector.payload,
};

const secretFrom = (bytes: Uint8Array): string => {
  const secret = webhookSecretOf(bytes);
  if (!secret.ok) throw new Error(webhookSecretFaultInWords(secret.fault));
  return secret.value;
};

const signed = async (
  what: WebhookMessage,
  secrets: readonly string[],
): Promise<WebhookHeaders> => {
  const headers = await signWebhook(what, secrets);
  if (!headers.ok) throw new Error(webhookFaultInWords(headers.fault));
  return headers.value;
};

const otherSecret = secretFrom(new Uint8Array(24).fill(7));

describe('signature scheme', () => {
  it('gives the signature of the reference vector', async () => {
    expect(await signed(message, [vector.secret])).toEqual({
      'webhook-id': vector.msg_id,
      'webhook-timestamp': String(vector.timestamp),
      'webhook-signature': vector.signature,
    });
  });

  it('signs what the reference library signs, for any secret, id and body', async () => {
    let compared = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.uint8Array({ minLength: 24, maxLength: 64 }),
        fc.stringMatching(/^[!-\-/-~]{1,40}$/),
        fc.integer({ min: 0, max: 4_000_000_000 }),
        fc.string({ unit: 'grapheme' }),
        async (bytes, id, timestampSeconds, body) => {
          const secret = secretFrom(bytes);
          const headers = await signed({ id, timestampSeconds, body }, [secret]);
          const oracle = new Webhook(secret).sign(id, new Date(timestampSeconds * 1000), body);
          expect(headers['webhook-signature']).toBe(oracle);
          compared += 1;
        },
      ),
    );
    expect(compared).toBe(100);
  });

  it.each(['', 'a.b', 'a b', 'ä', 'a\n', 'a\u007f'])(
    'refuses the id %j: no full stop, and fit for a header',
    async (id) => {
      expect(await signWebhook({ ...message, id }, [vector.secret])).toMatchObject({
        fault: { kind: 'id-malformed' },
      });
    },
  );

  it.each([1.5, -1, Number.NaN, Number.POSITIVE_INFINITY, 2 ** 53])(
    'refuses the timestamp %d: an integer',
    async (timestampSeconds) => {
      expect(await signWebhook({ ...message, timestampSeconds }, [vector.secret])).toMatchObject({
        fault: { kind: 'timestamp-malformed' },
      });
    },
  );
});

describe('webhook headers: several secrets while one is being replaced', () => {
  it('signs with each, separated by blanks, in the order given', async () => {
    const { 'webhook-signature': both } = await signed(message, [otherSecret, vector.secret]);
    const { 'webhook-signature': first } = await signed(message, [otherSecret]);
    expect(both).toBe(`${first} ${vector.signature}`);
  });

  it('is accepted by a receiver that holds either, ours and the reference library', async () => {
    const now = Math.floor(Date.now() / 1000);
    const fresh = { ...message, timestampSeconds: now };
    const headers = await signed(fresh, [otherSecret, vector.secret]);
    for (const held of [otherSecret, vector.secret]) {
      expect(new Webhook(held).verify(fresh.body, { ...headers })).toEqual({ test: 2432232314 });
      expect(await verifyWebhook({ headers, body: fresh.body }, [held], now)).toEqual({
        ok: true,
        value: fresh,
      });
    }
  });

  it('refuses to sign with none', async () => {
    expect(await signWebhook(message, [])).toMatchObject({ fault: { kind: 'no-secret' } });
  });
});

describe('secret serialization', () => {
  it('is whsec_ and base64, 24 to 64 bytes', () => {
    expect(secretFrom(Uint8Array.of(...Array(24).keys()))).toBe(
      'whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYX',
    );
    expect(webhookKeyOf(secretFrom(new Uint8Array(64))).ok).toBe(true);
    for (const bytes of [0, 23, 65, 128]) {
      expect(webhookSecretOf(new Uint8Array(bytes))).toEqual({
        ok: false,
        fault: { kind: 'secret-length', bytes },
      });
    }
  });

  it('gives back its bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 24, maxLength: 64 }), (bytes) => {
        expect(webhookKeyOf(secretFrom(bytes))).toEqual({ ok: true, value: bytes });
      }),
    );
  });

  it.each([
    ['secret-malformed', vector.secret.slice('whsec_'.length)],
    ['secret-malformed', `whsk_${vector.secret.slice('whsec_'.length)}`],
    ['secret-malformed', `${vector.secret} `],
    ['secret-malformed', `${vector.secret}=`],
    ['secret-malformed', vector.secret.replace('L', '-')],
    ['secret-malformed', ''],
    ['secret-length', 'whsec_'],
    ['secret-length', 'whsec_AAAA'],
  ])('refuses as %s: %j', async (kind, secret) => {
    const refused = await signWebhook(message, [secret]);
    if (refused.ok) throw new Error('expected a fault');
    expect(refused.fault.kind).toBe(kind);
    const words = webhookFaultInWords(refused.fault);
    // A fault is logged and shown: the secret must not be in it.
    if (secret.length > 12) expect(words).not.toContain(secret.slice(6, 20));
  });
});

describe('verifying signatures', () => {
  const now = vector.timestamp;
  const headers = {
    'webhook-id': vector.msg_id,
    'webhook-timestamp': String(vector.timestamp),
    'webhook-signature': vector.signature,
  };
  const received = { headers, body: vector.payload };
  const verify = (what: typeof received, at = now, tolerance?: number) =>
    verifyWebhook(what, [vector.secret], at, tolerance);

  it('accepts the reference vector', async () => {
    expect(await verify(received)).toEqual({ ok: true, value: message });
  });

  it('tolerates a timestamp five minutes off in both directions, and no more', async () => {
    expect(vector.tolerance_s).toBe(300);
    for (const off of [-300, 300]) expect((await verify(received, now + off)).ok).toBe(true);
    for (const off of [-301, 301]) {
      expect(await verify(received, now + off)).toMatchObject({
        fault: { kind: 'timestamp-outside', found: now, now: now + off, toleranceSeconds: 300 },
      });
    }
    expect((await verify(received, now + 301, 600)).ok).toBe(true);
    expect((await verify(received, Number.NaN)).ok).toBe(false);
  });

  it.each(['webhook-id', 'webhook-timestamp', 'webhook-signature'] as const)(
    'refuses a request without %s',
    async (header) => {
      const without = { ...received, headers: { ...headers, [header]: null } };
      expect(await verifyWebhook(without, [vector.secret], now)).toEqual({
        ok: false,
        fault: { kind: 'header-missing', header },
      });
    },
  );

  it.each(['', 'x', '1e9', '1614265330.5', '-1', '01614265330', '9'.repeat(20)])(
    'refuses the timestamp %j',
    async (timestamp) => {
      const odd = { ...received, headers: { ...headers, 'webhook-timestamp': timestamp } };
      expect((await verify(odd)).ok).toBe(false);
    },
  );

  it('refuses another body, id or timestamp under the same signature', async () => {
    const changed = [
      { ...received, body: `${vector.payload} ` },
      { ...received, headers: { ...headers, 'webhook-id': `${vector.msg_id}x` } },
      { ...received, headers: { ...headers, 'webhook-timestamp': String(now + 1) } },
    ];
    for (const what of changed) {
      expect(await verify(what)).toEqual({ ok: false, fault: { kind: 'no-signature-fits' } });
    }
  });

  it('refuses a flipped bit anywhere in the signature', async () => {
    const bytes = Buffer.from(vector.signature.slice(3), 'base64');
    expect(bytes).toHaveLength(32);
    for (let index = 0; index < bytes.length; index += 1) {
      const flipped = Buffer.from(bytes);
      flipped[index] = (flipped[index] ?? 0) ^ 1;
      const signature = `v1,${flipped.toString('base64')}`;
      const what = { ...received, headers: { ...headers, 'webhook-signature': signature } };
      expect((await verify(what)).ok).toBe(false);
    }
  });

  it('passes over signatures of other versions and malformed ones', async () => {
    const listed = (signature: string) => ({
      ...received,
      headers: { ...headers, 'webhook-signature': signature },
    });
    const own = vector.signature.slice(3);
    expect((await verify(listed(`v1a,AAAA v1,!! v1 ,, ${vector.signature}`))).ok).toBe(true);
    for (const other of [`v1a,${own}`, `v2,${own}`, own, `v1,${own.slice(0, -4)}`, 'v1,']) {
      expect(await verify(listed(other))).toMatchObject({ fault: { kind: 'no-signature-fits' } });
    }
  });

  it('refuses under a secret that did not sign, and under none', async () => {
    for (const held of [[otherSecret], []]) {
      expect(await verifyWebhook(received, held, now)).toMatchObject({
        fault: { kind: 'no-signature-fits' },
      });
    }
  });

  it('accepts what the reference library signs', async () => {
    const signature = new Webhook(otherSecret).sign('m', new Date(now * 1000), 'späte Lese');
    const what = {
      headers: { 'webhook-id': 'm', 'webhook-timestamp': `${now}`, 'webhook-signature': signature },
      body: 'späte Lese',
    };
    expect((await verifyWebhook(what, [otherSecret], now)).ok).toBe(true);
  });
});
