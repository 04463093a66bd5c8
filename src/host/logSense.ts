/** What all of a stored log tells of the sense of its angle, as its text would in memory. */
import type { ChannelFacts, Mapping, Moves, StoredHead } from "../evidence/index.js";
import { type Connection, database, quotedName, quotedPath, wholeNumbersIn } from "./database.js";
import { evidence } from "./evidence.js";
import { readingParquet } from "./parquet.js";

export interface StoredSense {
  /** Whether the angle may fall; where not, nothing speaks against its sense. */
  readonly canFall: boolean;
  /** Reads the whole of angle and command, which takes as long as a look at every row. */
  readonly moves: () => Promise<Moves>;
}

export async function storedSense(
  path: string,
  { channels, names }: StoredHead,
  facts: readonly ChannelFacts[],
  mapping: Mapping,
): Promise<StoredSense> {
  const { canFall, movesOf } = await evidence();
  const at = (role: string): number => channels.findIndex((one) => one.role === role);
  const angle = facts[at("angle")];
  return {
    canFall: angle !== undefined && canFall(angle),
    moves: async () =>
      await readingParquet(path, async (connection) => {
        const valuesOf = async (i: number) =>
          i < 0 ? new Float64Array() : await valuesIn(connection, path, names[i] ?? "", facts[i]?.count ?? 0);
        return movesOf(mapping, await valuesOf(at("angle")), await valuesOf(at("command")));
      }),
  };
}

/** All values of a column, without its gaps. @param count  of them */
async function valuesIn(
  connection: Connection,
  path: string,
  name: string,
  count: number,
): Promise<Float64Array> {
  const { DuckDBDoubleVector: Doubles } = await database();
  const column = quotedName(name);
  const values = new Float64Array(count);
  let at = 0;
  const query = `SELECT ${column} FROM read_parquet(${quotedPath(path)}) WHERE ${column} IS NOT NULL`;
  for await (const chunk of await connection.stream(query)) {
    const part = wholeNumbersIn(chunk, 0, Doubles);
    values.set(part, at);
    at += part.length;
  }
  return values;
}
