import { type NetworkInterfaceInfo, networkInterfaces } from 'node:os';

export interface LanAddress {
  address: string;
  /** The name of the network card, as the system calls it. */
  network: string;
}

// Cards that other programs make (containers, virtual machines, tunnels): a phone is not on them.
const virtual =
  /^(docker|br-|veth|virbr|vmnet|vboxnet|vethernet|utun|tun|tap|wg|zt|tailscale|ham|ppp|llw|awdl|bridge)/i;

/**
 * The addresses under which others on the local network may reach this machine, the likeliest first: a home or
 * workshop network before a company's before the rest, real cards before virtual ones. IPv4 only: that is what people
 * can read out and type into a phone.
 */
export function lanAddresses(
  cards: Record<string, NetworkInterfaceInfo[] | undefined> = networkInterfaces(),
): LanAddress[] {
  return Object.entries(cards)
    .flatMap(([network, infos]) =>
      (infos ?? [])
        .filter((info) => info.family === 'IPv4' && !info.internal)
        .map(({ address }) => ({ address, network })),
    )
    .map((found, order) => ({ found, order, rank: rank(found) }))
    .sort((a, b) => a.rank - b.rank || a.order - b.order)
    .map(({ found }) => found);
}

function rank({ address, network }: LanAddress): number {
  return rangeRank(address) + (virtual.test(network) ? 10 : 0);
}

/** Private ranges are those of RFC 1918; 169.254 is what a card gives itself when no one gave it an address (RFC 3927). */
function rangeRank(address: string): number {
  if (address.startsWith('192.168.')) return 0;
  if (address.startsWith('10.')) return 1;
  if (/^172\.(1[6-9]|2\d|3[01])\./.test(address)) return 2;
  if (address.startsWith('169.254.')) return 100;
  return 3;
}
