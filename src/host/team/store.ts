/** The dossiers that a PostgreSQL database holds for a team: who they are, what changed, and the bytes. */
import { Kysely, PostgresDialect, sql } from "kysely";
import type pg from "pg";
import type { Role } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { type Database, onDatabase } from "../postgres/connect.js";
import { refuseStore, refuseUnknown } from "./refusal.js";
import { schemaName, storeFormat, structure } from "./structure.js";

/** The tables as they are read; only functions write them. */
interface Tables {
  readonly person: { readonly login: string; readonly name: string; readonly role: Role };
  readonly person_change: {
    readonly number: string;
    readonly login: string;
    readonly name: string;
    readonly before: Role | null;
    readonly role: Role | null;
    readonly at: Date;
    readonly who: string;
    readonly why: string;
  };
  readonly dossier: { readonly id: string };
  readonly change: {
    readonly dossier: string;
    readonly revision: number;
    readonly at: Date;
    readonly who: string;
    readonly name: string;
    readonly why: string;
  };
  readonly version: {
    readonly dossier: string;
    readonly revision: number;
    readonly path: string;
    readonly removed: boolean;
    readonly sha256: Buffer;
    readonly bytes: string;
    readonly pieces: readonly Buffer[];
  };
  readonly piece: { readonly sha256: Buffer; readonly content: Buffer };
}

export interface Person {
  readonly login: string;
  readonly name: string;
  readonly role: Role;
}

/** A change of who has which role. */
export interface PersonChange {
  readonly login: string;
  readonly name: string;
  readonly before: Role | null;
  readonly role: Role | null;
  /** By the clock of the database, ISO 8601. */
  readonly at: string;
  readonly who: string;
  readonly why: string;
}

export interface ListedDossier {
  readonly id: string;
  readonly revision: number;
  readonly at: string;
  readonly name: string;
  readonly why: string;
  readonly files: number;
  readonly bytes: number;
}

/** One change of a dossier. */
export interface DossierChange {
  readonly revision: number;
  readonly at: string;
  readonly who: string;
  readonly name: string;
  readonly why: string;
  readonly files: readonly {
    readonly path: string;
    readonly removed: boolean;
    readonly sha256: string;
    readonly bytes: number;
  }[];
}

/** A file as it stood after a change. */
export interface StoredVersion {
  readonly path: string;
  readonly revision: number;
  readonly removed: boolean;
  readonly sha256: string;
  readonly bytes: number;
  readonly pieces: readonly string[];
}

/** An open store. */
export interface TeamStore {
  readonly address: string;
  readonly pool: pg.Pool;
  readonly read: Kysely<Tables>;
}

/** Acts on the store of a database. Refuses a database without one, one of another form, and a stranger. */
export async function onStore<T>(address: string, act: (store: TeamStore) => Promise<T>): Promise<T> {
  return await onDatabase(address, async (database) => {
    await requireStore(database);
    const store = storeIn(database);
    try {
      await database.pool.query(`select ${schemaName}.need('read', 'the dossiers of a team')`);
      return await act(store);
    } catch (error) {
      return refuseStore(error, database.address);
    }
  });
}

function storeIn({ pool, address }: Database): TeamStore {
  const read = new Kysely<Tables>({ dialect: new PostgresDialect({ pool }) }).withSchema(schemaName);
  return { address, pool, read };
}

async function requireStore(database: Database): Promise<void> {
  const found = await formatIn(database);
  if (found === storeFormat) return;
  const { address } = database;
  if (found === undefined)
    throw new Refusal([
      {
        code: "team-missing",
        where: { file: address },
        found: "this database holds no dossiers of a team",
        allowed: "A store is made once, by a login that may make tables.",
        mend: "Name the right database, or let `coldturn team init` make the store",
      },
    ]);
  throw new Refusal([
    {
      code: "team-format",
      where: { file: address },
      found: `the store has form ${String(found)}, this program needs form ${String(storeFormat)}`,
      allowed: "Store and program must agree, or one would lose what the other keeps.",
      mend:
        found < storeFormat
          ? "Let the owner of the store call `coldturn team init`: it brings the form up to date, the contents stay"
          : "Install the newer Coldturn that the store was made with",
    },
  ]);
}

async function formatIn({ pool }: Database): Promise<number | undefined> {
  const { rows } = await pool.query<{ there: boolean }>("select to_regclass($1) is not null as there", [
    `${schemaName}.about`,
  ]);
  if (rows[0]?.there !== true) return undefined;
  const about = await pool.query<{ format: number }>(`select format from ${schemaName}.about`);
  return about.rows[0]?.format;
}

/** Makes the store, or brings it up to date. The caller becomes the first person, with the role decide. */
export async function makeStore(address: string, name: string | undefined): Promise<void> {
  await onDatabase(address, async (database) => {
    const found = await formatIn(database).catch(() => undefined);
    if (found !== undefined && found > storeFormat) await requireStore(database);
    const client = await database.pool.connect();
    try {
      await client.query("begin");
      await client.query("select set_config('coldturn.name', $1, true)", [name ?? ""]);
      await client.query(structure);
      await client.query("commit");
    } catch (error) {
      await client.query("rollback").catch(() => undefined);
      refuseStore(error, database.address);
    } finally {
      client.release();
    }
  });
}

/** Gives a person a role, or takes it with undefined. */
export async function setPerson(
  { pool }: TeamStore,
  {
    login,
    name,
    role,
    why,
  }: {
    readonly login: string;
    readonly name: string | undefined;
    readonly role: Role | undefined;
    readonly why: string;
  },
): Promise<void> {
  await pool.query(`select ${schemaName}.set_person($1, $2, $3, $4)`, [
    login,
    name ?? null,
    role ?? null,
    why,
  ]);
}

export async function peopleOf({ read }: TeamStore): Promise<{
  readonly people: readonly Person[];
  readonly changes: readonly PersonChange[];
}> {
  const people = await read.selectFrom("person").selectAll().orderBy("login").execute();
  const changes = await read.selectFrom("person_change").selectAll().orderBy("number").execute();
  return {
    people,
    changes: changes.map(({ number: _, at, ...rest }) => ({ ...rest, at: at.toISOString() })),
  };
}

export async function dossiersOf({ read }: TeamStore): Promise<readonly ListedDossier[]> {
  const latest = await read
    .selectFrom("change")
    .distinctOn("dossier")
    .selectAll()
    .orderBy("dossier")
    .orderBy("revision", "desc")
    .execute();
  const heads = await read
    .selectFrom((query) =>
      query
        .selectFrom("version")
        .distinctOn(["dossier", "path"])
        .select(["dossier", "removed", "bytes"])
        .orderBy("dossier")
        .orderBy("path")
        .orderBy("revision", "desc")
        .as("head"),
    )
    .where("removed", "=", false)
    .select(["dossier", sql<string>`count(*)`.as("files"), sql<string>`sum(bytes)`.as("bytes")])
    .groupBy("dossier")
    .execute();
  return latest.map(({ dossier, revision, at, name, why }) => {
    const head = heads.find((one) => one.dossier === dossier);
    return {
      ...{ id: dossier, revision, at: at.toISOString(), name, why },
      ...{ files: Number(head?.files ?? 0), bytes: Number(head?.bytes ?? 0) },
    };
  });
}

/** The changes of a dossier, newest first, or those of one of its files. Refuses a dossier that is not there. */
export async function changesOf(
  store: TeamStore,
  dossier: string,
  path?: string,
): Promise<readonly DossierChange[]> {
  await requireDossier(store, dossier);
  const { read } = store;
  const changes = await read
    .selectFrom("change")
    .selectAll()
    .where("dossier", "=", dossier)
    .orderBy("revision", "desc")
    .execute();
  const versions = await read
    .selectFrom("version")
    .select(["revision", "path", "removed", "sha256", "bytes"])
    .where("dossier", "=", dossier)
    .$if(path !== undefined, (query) => query.where("path", "=", path ?? ""))
    .orderBy("path")
    .execute();
  return changes
    .map(({ revision, at, who, name, why }) => ({
      ...{ revision, at: at.toISOString(), who, name, why },
      files: versions
        .filter((one) => one.revision === revision)
        .map((one) => ({
          ...{ path: one.path, removed: one.removed, bytes: Number(one.bytes) },
          sha256: one.sha256.toString("hex"),
        })),
    }))
    .filter(({ files }) => path === undefined || files.length > 0);
}

async function requireDossier({ read, address }: TeamStore, id: string): Promise<void> {
  const ids = (await read.selectFrom("dossier").select("id").orderBy("id").execute()).map((one) => one.id);
  if (!ids.includes(id)) refuseUnknown(address, id, ids);
}

/**
 * The newest version of each file, up to a revision; removed files among them.
 * Refuses a dossier that is not there.
 */
export async function headsOf(
  store: TeamStore,
  dossier: string,
  upTo?: number,
): Promise<readonly StoredVersion[]> {
  await requireDossier(store, dossier);
  const rows = await store.read
    .selectFrom("version")
    .distinctOn("path")
    .selectAll()
    .where("dossier", "=", dossier)
    .$if(upTo !== undefined, (query) => query.where("revision", "<=", upTo ?? 0))
    .orderBy("path")
    .orderBy("revision", "desc")
    .execute();
  return rows.map(versionOf);
}

/** One version of a file; undefined where there is none. */
export async function versionAt(
  { read }: TeamStore,
  dossier: string,
  path: string,
  revision: number,
): Promise<StoredVersion | undefined> {
  const row = await read
    .selectFrom("version")
    .selectAll()
    .where("dossier", "=", dossier)
    .where("path", "=", path)
    .where("revision", "=", revision)
    .executeTakeFirst();
  return row === undefined ? undefined : versionOf(row);
}

function versionOf({ path, revision, removed, sha256, bytes, pieces }: Tables["version"]): StoredVersion {
  return {
    ...{ path, revision, removed, bytes: Number(bytes) },
    sha256: sha256.toString("hex"),
    pieces: pieces.map((piece) => piece.toString("hex")),
  };
}

/** The bytes of a version, piece by piece. */
export async function* bytesOf({ read }: TeamStore, { pieces }: StoredVersion): AsyncGenerator<Buffer> {
  for (const piece of pieces) {
    const { content } = await read
      .selectFrom("piece")
      .select("content")
      .where("sha256", "=", Buffer.from(piece, "hex"))
      .executeTakeFirstOrThrow();
    yield content;
  }
}

/** Those of the pieces that the store has already. */
export async function presentPieces(
  { read }: TeamStore,
  pieces: readonly string[],
): Promise<ReadonlySet<string>> {
  if (pieces.length === 0) return new Set();
  const hashes = [...new Set(pieces)].map((one) => Buffer.from(one, "hex"));
  const rows = await read
    .selectFrom("piece")
    .select("sha256")
    .where(sql<boolean>`sha256 = any(${hashes})`)
    .execute();
  return new Set(rows.map(({ sha256 }) => sha256.toString("hex")));
}
