/**
 * Which addresses a webhook may reach. A person of the team chooses the address, the house's own network answers to
 * it: so only public addresses, whatever a name resolves to at the moment of connecting.
 */
import { lookup as systemLookup, type LookupOptions } from 'node:dns';
import type { LookupFunction } from 'node:net';
import ipaddr from 'ipaddr.js';

export class AddressRefused extends Error {
  readonly code = 'address-refused';
}

export const isNetwork = (network: string): boolean => ipaddr.isValidCIDR(network);

/** @param trusted networks allowed though they are not public (CIDR) */
export function isReachable(address: string, trusted: readonly string[] = []): boolean {
  const bare = address.replace(/^\[|\]$/g, '');
  if (!ipaddr.isValid(bare)) return false;
  // An IPv4 address in IPv6 clothes counts as what it is.
  const ip = ipaddr.process(bare);
  if (ip.range() === 'unicast' && isGlobal(ip)) return true;
  return trusted.some((network) => {
    const [net, bits] = ipaddr.parseCIDR(network);
    return net.kind() === ip.kind() && ip.match(net, bits);
  });
}

/** Of IPv6 only what is given out to the world (IANA, IPv6 Global Unicast: 2000::/3), so no old way of writing IPv4. */
const isGlobal = (ip: ReturnType<typeof ipaddr.process>): boolean =>
  ip.kind() === 'ipv4' || ip.match(ipaddr.parseCIDR('2000::/3'));

/** @throws AddressRefused when the address is one that may not be reached, as far as it shows without asking a name server */
export function insistOnReachable(url: URL, trusted: readonly string[]): void {
  if (url.protocol !== 'http:' && url.protocol !== 'https:')
    throw new AddressRefused('Give an http or https address.');
  if (url.username !== '' || url.password !== '')
    throw new AddressRefused('Give the address without a name and password in it.');
  const host = url.hostname.replace(/^\[|\]$/g, '');
  if (ipaddr.isValid(host) && !isReachable(host, trusted)) throw refusal(host);
  const local = /^localhost\.?$|\.localhost\.?$/i.test(host);
  if (local && !isReachable('127.0.0.1', trusted)) throw refusal(host);
}

const refusal = (host: string): AddressRefused =>
  new AddressRefused(`${host} is an address of a private network: webhooks go to public addresses only.`);

/** A `lookup` for `http.request`: what is connected to is what was checked. One private address spoils the name. */
export function guardedLookup(
  trusted: readonly string[],
  ask: typeof systemLookup = systemLookup,
): LookupFunction {
  return (host, options: LookupOptions, answer) => {
    ask(host, { ...options, all: true }, (error, addresses) => {
      const bad = error ? undefined : addresses.find(({ address }) => !isReachable(address, trusted));
      const [first] = error ? [] : addresses;
      if (error) answer(error, '', 0);
      else if (bad || !first) answer(refusal(`${host} (${bad?.address ?? 'nowhere'})`), '', 0);
      else if (options.all) answer(null, addresses);
      else answer(null, first.address, first.family);
    });
  };
}
