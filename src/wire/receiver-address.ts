/**
 * Whether news may be sent to an address. Private, loopback, link-local, multicast and reserved hosts
 * (RFC 6890, RFC 6761) are refused unless the operator allows them, so that a receiver cannot be used to
 * reach inside a network. A public name that resolves to a private address is not seen here: the platform
 * tells no addresses. Pure: no I/O, no clock.
 */

const refusedIpv4 = [
  /^0\./,
  /^10\./,
  /^127\./,
  /^169\.254\./,
  /^172\.(1[6-9]|2\d|3[01])\./,
  /^192\.168\./,
  /^192\.0\.[02]\./,
  /^198\.(1[89]|51)\./,
  /^203\.0\.113\./,
  /^100\.(6[4-9]|[7-9]\d|1[01]\d|12[0-7])\./,
  /^(22[4-9]|2[34]\d|25[0-5])\./,
];

const isPrivateHost = (host: string): boolean =>
  !host.includes('.') ||
  /\.(localhost|local|internal|lan|home\.arpa)$/.test(host) ||
  refusedIpv4.some((pattern) => pattern.test(host));

/** What is wrong with the address, in words; null where it may be used. */
export const receiverAddressFault = (text: string, privateAllowed: boolean): string | null => {
  const url = URL.parse(text);
  if (url === null) return 'must be a whole address such as https://example.org/alarms';
  if (url.username !== '' || url.password !== '') return 'must not hold a user name or password';
  if (privateAllowed && (url.protocol === 'http:' || url.protocol === 'https:')) return null;
  if (url.protocol !== 'https:') return 'must begin with https://';
  // The URL parser writes every IPv4 spelling (hexadecimal, octal, one number) as dotted decimal.
  if (isPrivateHost(url.hostname.replace(/\.$/, '')))
    return 'must not be a private, loopback or bare IPv6 address';
  return null;
};
