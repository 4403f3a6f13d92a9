/**
 * The address a request comes from, as the platform says it: CF-Connecting-IP is set by the edge and by the embedded
 * host, over whatever a caller sends. Behind a proxy of one's own it is the proxy's. Of IPv6 the network is taken
 * (64 bits, RFC 4291 section 2.5.4), since one caller has all addresses of it. Pure.
 */

const networkOf = (address: string): string => {
  const [head = '', tail] = address.toLowerCase().split('::');
  const before = head === '' ? [] : head.split(':');
  const after = tail === undefined || tail === '' ? [] : tail.split(':');
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - before.length - after.length);
  const groups = [...before, ...Array.from({ length: zeros }, () => '0'), ...after];
  return `${groups.slice(0, 4).join(':')}::/64`;
};

export const callerAddress = (headers: Headers): string => {
  const address = headers.get('cf-connecting-ip')?.trim() ?? '';
  return (address.includes(':') ? networkOf(address) : address).slice(0, 45);
};
