/**
 * Network namespaces of Linux stand in for hosts: each has an address of its own and a cable that can be
 * pulled. They need root and the program `ip`; where they cannot be had, the reason is told.
 */
import { spawnSync } from "node:child_process";

export interface Host {
  /** Words before a command that is to run there. */
  readonly prefix: readonly string[];
  /** Address at which this machine is reached from there. */
  readonly gateway: string;
  readonly cut: () => void;
  readonly mend: () => void;
  readonly remove: () => void;
}

function ip(...words: readonly string[]): void {
  const { status, stderr, error } = spawnSync("ip", words, { encoding: "utf8" });
  if (status !== 0) throw new Error(`ip ${words.join(" ")}: ${stderr || String(error?.message)}`);
}

/** Hosts, or why there are none. */
export function hosts(count: number): readonly Host[] | string {
  const made: Host[] = [];
  try {
    for (let i = 0; i < count; i++) made.push(host(i));
    return made;
  } catch (thrown) {
    for (const one of made) one.remove();
    return thrown instanceof Error ? thrown.message : String(thrown);
  }
}

function host(i: number): Host {
  const name = `ct${String(process.pid)}n${String(i)}`;
  const [here, there] = [`h${name}`, `t${name}`];
  // A net of four addresses for each, from the range that tests of networks may use [rfc-2544-1999].
  const net = `198.18.${String(process.pid % 250)}`;
  const [gateway, own] = [`${net}.${String(4 * i + 1)}`, `${net}.${String(4 * i + 2)}`];
  const within = ["netns", "exec", name, "ip"];
  const remove = (): void => {
    spawnSync("ip", ["link", "delete", here]);
    spawnSync("ip", ["netns", "delete", name]);
  };
  try {
    ip("netns", "add", name);
    ip("link", "add", here, "type", "veth", "peer", "name", there);
    ip("link", "set", there, "netns", name);
    ip("address", "add", `${gateway}/30`, "dev", here);
    ip("link", "set", here, "up");
    ip(...within, "address", "add", `${own}/30`, "dev", there);
    ip(...within, "link", "set", there, "up");
    ip(...within, "link", "set", "lo", "up");
  } catch (thrown) {
    remove();
    throw thrown;
  }
  return {
    prefix: ["ip", "netns", "exec", name],
    gateway,
    cut: () => ip("link", "set", here, "down"),
    mend: () => ip("link", "set", here, "up"),
    remove,
  };
}
