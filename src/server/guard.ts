/**
 * Who may ask. Any page that a browser shows can send requests to a port of this machine; a name that an
 * attacker owns can be made to lead here. So the Host must be a name of this very server, an Origin must
 * be the page's own, nothing may come from another site, and whatever changes something must bring the
 * token that stands in the page, which no other site can read.
 */
import { createHash, timingSafeEqual } from "node:crypto";
import type { IncomingHttpHeaders } from "node:http";
import type { Fault } from "../fault/index.js";

export interface Guard {
  readonly token: string;
  /** Names with port under which the server is reached, as a Host header has them. */
  readonly hosts: ReadonlySet<string>;
}

/** Methods that change nothing. */
const reading = new Set(["GET", "HEAD"]);

/** Why a request is not answered; undefined where it is. */
export function guardFault(
  { method, headers }: { readonly method: string; readonly headers: IncomingHttpHeaders },
  { token, hosts }: Guard,
): Fault | undefined {
  const { host, origin } = headers;
  const site = headers["sec-fetch-site"];
  if (host === undefined || !hosts.has(host.toLowerCase()))
    return refused(
      `the request is meant for ${host === undefined ? "no host" : `"${host.slice(0, 100)}"`}`,
      "Open the address that `coldturn serve` printed",
    );
  if (origin !== undefined && origin.toLowerCase() !== `http://${host.toLowerCase()}`)
    return refused(
      `the request comes from a page of "${origin.slice(0, 100)}"`,
      "Open the address that `coldturn serve` printed in a window of its own",
    );
  if (site !== undefined && site !== "same-origin" && site !== "none")
    return refused(
      "the request comes from a page of another site",
      "Type or paste the address that `coldturn serve` printed; a link on another page does not open it",
    );
  if (!reading.has(method) && !isSame(headers["x-coldturn-token"], token))
    return refused(
      "the request would change something and does not bring the token of this server",
      "Reload the page: each start of the server has a token of its own",
    );
  return undefined;
}

function refused(found: string, mend: string): Fault {
  return {
    code: "serve-refused",
    where: {},
    found,
    allowed:
      "The server answers its own page alone, so that no other page in the browser can read or change a dossier.",
    mend,
  };
}

/** Compares digests, so that the time tells nothing of the token. */
function isSame(given: string | string[] | undefined, token: string): boolean {
  if (typeof given !== "string") return false;
  const digest = (text: string) => createHash("sha256").update(text).digest();
  return timingSafeEqual(digest(given), digest(token));
}
