/** Connections to a PostgreSQL database, and what it refuses in words a person can act on. */
import { Socket } from "node:net";
import pg from "pg";
import { type Fault, Refusal } from "../../fault/index.js";
import { requireAddress, withoutPassword } from "./address.js";

/** A database that answered. */
export interface Database {
  readonly pool: pg.Pool;
  /** Without its password: as it may be shown. */
  readonly address: string;
  /** Drops every connection at once: a network that was cut does not answer a farewell. */
  readonly drop: () => void;
  /** Ends the connections, politely where somebody answers. */
  readonly end: () => Promise<void>;
}

export interface ConnectOptions {
  /** Connections at a time. */
  readonly most?: number;
  /** A query that has no answer after this is given up, and its connection with it [s]. */
  readonly patience_s?: number;
}

/** Longest wait for a first answer [ms]: somebody sits before the screen. */
const firstWait = 8_000;
/** Longest wait for the farewells of the connections [ms]. */
const farewellWait = 2_000;

/** Connections that are made as they are needed; nothing is asked yet. */
export function poolFor(address: string, { most = 4, patience_s }: ConnectOptions = {}): Database {
  const sockets = new Set<Socket>();
  const pool = new pg.Pool({
    connectionString: requireAddress(address),
    stream: () => {
      const socket = new Socket();
      sockets.add(socket);
      socket.once("close", () => sockets.delete(socket));
      return socket;
    },
    application_name: "coldturn",
    connectionTimeoutMillis: Math.min(firstWait, (patience_s ?? firstWait) * 1000),
    keepAlive: true,
    max: most,
    ...(patience_s === undefined ? {} : { query_timeout: patience_s * 1000 }),
  });
  // A connection that is lost while nobody uses it is made anew when it is needed.
  pool.on("error", () => undefined);
  const drop = (): void => {
    for (const socket of sockets) socket.destroy();
  };
  const end = async (): Promise<void> => {
    const timer = setTimeout(drop, farewellWait);
    await pool.end();
    clearTimeout(timer);
  };
  return { pool, address: withoutPassword(address), drop, end };
}

/** Acts on a database, and ends its connections. Refuses one that cannot be reached or does not let in. */
export async function onDatabase<T>(
  address: string,
  act: (database: Database) => Promise<T>,
  options?: ConnectOptions,
): Promise<T> {
  const database = poolFor(address, options);
  try {
    await requireAnswer(database);
    return await act(database);
  } finally {
    await database.end();
  }
}

/** Refuses a database that does not answer. */
export async function requireAnswer({ pool, address }: Database): Promise<void> {
  try {
    await pool.query("select 1");
  } catch (error) {
    refuseDatabase(error, address);
  }
}

interface Words extends Omit<Fault, "where" | "found"> {
  readonly found: (message: string) => string;
}

const unreachable: Words = {
  code: "database-unreachable",
  found: (message) => `the database cannot be reached (${message})`,
  allowed: "PostgreSQL must be running there, and the network must let the connection through.",
  mend: "Look at host and port in the address, and whether `psql` reaches it from this machine",
};
const login: Words = {
  code: "database-login",
  found: (message) => `the database does not let this login in (${message})`,
  allowed: "The name stands in the address; the password there too, in PGPASSWORD, or in ~/.pgpass.",
  mend: "Correct name or password, or ask who runs the database for a login",
};
const words: Readonly<Record<string, Words>> = {
  "28P01": login,
  "28000": login,
  "3D000": {
    code: "database-missing",
    found: (message) => `there is no such database (${message})`,
    allowed: "The last part of the address names the database.",
    mend: "Correct the name, or make the database with `createdb`",
  },
  "42501": {
    code: "database-rights",
    found: (message) => `this login may not do that (${message})`,
    allowed: "The database gives each login its rights.",
    mend: "Use the login that made the tables, or ask its owner",
  },
};

const networkCodes =
  /^(ECONNREFUSED|ECONNRESET|ENOTFOUND|EAI_AGAIN|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|EPIPE|ENOENT|57P0[123]|53300|08\w{3})$/;
const networkMessages =
  /timeout exceeded when trying to connect|Connection terminated|Query read timeout|server closed the connection|not queryable/i;

/** The database's own code of an error. */
export function databaseCode(error: unknown): string | undefined {
  return error instanceof Error && "code" in error && typeof error.code === "string" ? error.code : undefined;
}

/** Whether the database is away: it may be back later, and nothing that was told to it is certain. */
export function isAway(error: unknown): boolean {
  return (
    error instanceof Error &&
    (networkCodes.test(databaseCode(error) ?? "") || networkMessages.test(error.message))
  );
}

/** Turns what the database refused into a refusal; anything else is thrown on as it is. */
export function refuseDatabase(error: unknown, address: string): never {
  const isLogin = error instanceof Error && /password must be a string|SASL/.test(error.message);
  const known = isAway(error) ? unreachable : isLogin ? login : words[databaseCode(error) ?? ""];
  if (known === undefined || !(error instanceof Error)) throw error;
  const { found, ...rest } = known;
  const said = error.message === "" ? (databaseCode(error) ?? "no answer") : error.message;
  throw new Refusal([{ ...rest, found: found(said), where: { file: address } }]);
}
