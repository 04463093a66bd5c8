/** The address of a PostgreSQL database, as typed behind `--on`. */
import { refuse } from "../../fault/index.js";

/** Refuses what is no address of a PostgreSQL database. */
export function requireAddress(text: string): string {
  if (/^postgres(ql)?:\/\/[^\s]+$/.test(text)) return text;
  return refuse(
    "database-address",
    `"${withoutPassword(text)}" is no address of a PostgreSQL database`,
    "Such an address says who, where and which database.",
    "Write, for example, --on postgres://ann@db.example:5432/valves; the password may stand in PGPASSWORD or in ~/.pgpass",
  );
}

/** The address as it may be shown and kept: a password in it is left out. */
export function withoutPassword(address: string): string {
  return address.replace(/(\/\/[^/@:]*):[^@]*@/, "$1@").replace(/([?&]password=)[^&]*/i, "$1...");
}
