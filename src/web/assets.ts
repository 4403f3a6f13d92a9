/**
 * Serves what the build bundled for the browser. A name carries a hash of its content, so an answer
 * may be kept for ever; an unknown name answers null. No I/O, no clock.
 */
import { assetPath, clientAssets } from '../../.build/client-assets.ts';

export { assetPath };

/** A year, the longest that caches honour by custom (RFC 2616 section 14.21 named it). */
const keepSeconds = 31_536_000;

const bytesOf = (base64: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));

export const assetResponse = (name: string, ifNoneMatch: string | null): Response | null => {
  const asset = Object.hasOwn(clientAssets, name) ? clientAssets[name] : undefined;
  if (asset === undefined) return null;
  const headers = {
    'cache-control': `public, max-age=${keepSeconds}, immutable`,
    etag: asset.etag,
    'x-content-type-options': 'nosniff',
  };
  const known = ifNoneMatch
    ?.split(',')
    .some((tag) => tag.trim().replace(/^W\//, '') === asset.etag);
  if (known === true) return new Response(null, { status: 304, headers });
  return new Response(asset.encoding === 'base64' ? bytesOf(asset.body) : asset.body, {
    headers: { ...headers, 'content-type': asset.type },
  });
};
