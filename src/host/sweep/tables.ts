/**
 * What a sweep leaves in the database beside the queue: the order, its blocks, and one result for each.
 * A result that comes twice (a worker was taken for dead) is kept once, the first; the second must be the
 * same bytes, or the sweep is in doubt and says so.
 */
import { Refusal } from "../../fault/index.js";
import type { PersistentDatabase } from "./persistent.js";

export const sweepSchema = "coldturn_sweep";
/** Tables of the job queue, which keeps them itself. */
export const queueSchema = "coldturn_queue";
/** Form of the tables; rises with every change of them. */
const sweepFormat = 1;

const structure = `
begin;
select pg_advisory_xact_lock(hashtext('${sweepSchema}'));
create schema if not exists ${sweepSchema};
create table if not exists ${sweepSchema}.about (format int not null);
create table if not exists ${sweepSchema}.sweep (
  id text primary key,
  kind text not null,
  model text not null,
  arithmetic text not null,
  title text not null,
  task text not null,
  blocks int not null,
  patience_s real not null,
  made timestamptz not null default clock_timestamp(),
  who name not null default session_user,
  cancelled timestamptz
);
create table if not exists ${sweepSchema}.block (
  sweep text not null references ${sweepSchema}.sweep on delete cascade,
  number int not null,
  task text not null,
  primary key (sweep, number)
);
create table if not exists ${sweepSchema}.result (
  sweep text not null references ${sweepSchema}.sweep on delete cascade,
  number int not null,
  content text not null,
  is_refused boolean not null,
  worker text not null,
  seconds real not null,
  at timestamptz not null default clock_timestamp(),
  primary key (sweep, number)
);
-- Bits of numbers do not get shorter: trying costs the database most of its time.
alter table ${sweepSchema}.result alter column content set storage external;
create table if not exists ${sweepSchema}.doubt (
  sweep text not null references ${sweepSchema}.sweep on delete cascade,
  number int not null,
  worker text not null,
  content text not null,
  at timestamptz not null default clock_timestamp()
);
create or replace function ${sweepSchema}.deliver(
  of_sweep text, of_block int, given text, refused boolean, by_worker text, took real
) returns text language plpgsql as $$
declare
  held text;
begin
  insert into ${sweepSchema}.result (sweep, number, content, is_refused, worker, seconds)
    values (of_sweep, of_block, given, refused, by_worker, took) on conflict do nothing;
  if found then return 'first'; end if;
  select content into held from ${sweepSchema}.result where sweep = of_sweep and number = of_block;
  if held = given then return 'same'; end if;
  insert into ${sweepSchema}.doubt (sweep, number, worker, content) values (of_sweep, of_block, by_worker, given);
  return 'other';
end $$;
insert into ${sweepSchema}.about (format) select ${String(sweepFormat)}
  where not exists (select from ${sweepSchema}.about);
commit;
`;

/** Makes the tables where they are missing. Refuses those of another form. */
export async function requireTables(data: PersistentDatabase): Promise<void> {
  const { rows } = await data.query<{ there: boolean }>("select to_regclass($1) is not null as there", [
    `${sweepSchema}.about`,
  ]);
  if (rows[0]?.there !== true) await data.query(structure);
  const about = await data.query<{ format: number }>(`select format from ${sweepSchema}.about`);
  const found = about.rows[0]?.format;
  if (found === sweepFormat) return;
  throw new Refusal([
    {
      code: "sweep-format",
      where: { file: data.database.address },
      found: `the sweeps have form ${String(found)}, this program needs form ${String(sweepFormat)}`,
      allowed: "All who share the work must agree on its form.",
      mend: "Use the Coldturn that made the sweeps, or another database for new ones",
    },
  ]);
}
