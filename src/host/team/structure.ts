/**
 * The tables and functions that hold a team's dossiers. Whoever can connect may call the functions;
 * they look up who asks (session_user) and refuse what the role of that person does not allow. Nobody
 * but them writes the tables, reading them is under row security, and triggers keep what was written
 * from being changed, by the owner too. The clock is the database's.
 *
 * A refusal of a function has a code of its own (`storeCodes`) and its facts as JSON in the detail.
 */
import {
  decisionForm,
  decisionWords,
  pathForm,
  roles,
  sealedForm,
  sheetBasisForm,
} from "../../dossier/index.js";

/** Form of the tables; rises with every change of them. */
export const storeFormat = 2;
export const schemaName = "coldturn_team";

/** Largest piece in which the bytes of a file are kept [byte]. */
export const pieceBytes = 1_048_576;

/** Codes of the refusals. */
export const storeCodes = {
  role: "CT001",
  conflict: "CT002",
  exists: "CT003",
  sealed: "CT004",
  login: "CT005",
  last: "CT006",
  unknown: "CT007",
  why: "CT008",
  decided: "CT009",
  outdated: "CT010",
  word: "CT011",
} as const;

const literal = (text: string): string => `'${text.replaceAll("'", "''")}'`;
const roleList = roles.map(literal).join(", ");

/** Tables, in the order in which they need each other. */
const tables = `
create schema if not exists ${schemaName};
set local search_path = ${schemaName}, pg_temp;
create table if not exists about (format int not null);
create table if not exists person (
  login name primary key,
  name text not null check (name <> ''),
  role text not null check (role in (${roleList}))
);
create table if not exists person_change (
  number bigint generated always as identity primary key,
  login name not null,
  name text not null,
  before text,
  role text,
  at timestamptz not null default clock_timestamp(),
  who name not null,
  why text not null check (why <> '')
);
create table if not exists dossier (id text primary key check (id ~ '^[a-z0-9]+(-[a-z0-9]+)*$'));
create table if not exists change (
  dossier text not null references dossier,
  revision int not null,
  at timestamptz not null default clock_timestamp(),
  who name not null,
  name text not null,
  why text not null check (why <> ''),
  primary key (dossier, revision)
);
create table if not exists piece (
  sha256 bytea primary key,
  content bytea not null check (length(content) <= ${pieceBytes})
);
create table if not exists version (
  dossier text not null,
  revision int not null,
  path text not null check (path ~ ${literal(pathForm)}),
  removed boolean not null,
  sha256 bytea not null,
  bytes bigint not null,
  pieces bytea[] not null,
  primary key (dossier, path, revision),
  foreign key (dossier, revision) references change
);
create table if not exists decision (
  number bigint generated always as identity primary key,
  dossier text not null references dossier,
  path text not null check (path ~ '^sheets/'),
  sha256 bytea not null,
  word text not null,
  at timestamptz not null default clock_timestamp(),
  who name not null,
  name text not null,
  why text not null check (why <> ''),
  unique (dossier, sha256, who)
);
`;

/** Nothing that was written is changed, and a sealed prediction has one version for ever. */
const keeping = `
create or replace function keep() returns trigger language plpgsql set search_path = ${schemaName}, pg_temp as $$
begin
  raise exception 'what is written in % stays', tg_table_name using errcode = ${literal(storeCodes.sealed)};
end $$;
create or replace function keep_seal() returns trigger language plpgsql set search_path = ${schemaName}, pg_temp as $$
begin
  if new.path ~ ${literal(sealedForm)} and (new.removed or exists (
    select from version v where v.dossier = new.dossier and v.path = new.path
  )) then
    raise exception '% is sealed', new.path using errcode = ${literal(storeCodes.sealed)},
      detail = json_build_object('path', new.path)::text;
  end if;
  return new;
end $$;
create or replace trigger keep before update or delete on person_change for each row execute function keep();
create or replace trigger keep before update or delete on change for each row execute function keep();
create or replace trigger keep before update or delete on version for each row execute function keep();
create or replace trigger keep before update or delete on piece for each row execute function keep();
create or replace trigger keep_all before truncate on person_change execute function keep();
create or replace trigger keep_all before truncate on change execute function keep();
create or replace trigger keep_all before truncate on version execute function keep();
create or replace trigger keep_all before truncate on piece execute function keep();
create or replace trigger keep before update or delete on decision for each row execute function keep();
create or replace trigger keep_all before truncate on decision execute function keep();
create or replace trigger keep_seal before insert on version for each row execute function keep_seal();
`;

/** Who asks, and what that person may do. */
const asking = `
create or replace function may(needed text) returns boolean language sql stable security definer
set search_path = ${schemaName}, pg_temp as $$
  select exists (
    select from person where login = session_user
      and array_position(array[${roleList}], role) >= array_position(array[${roleList}], needed)
  );
$$;
create or replace function need(needed text, what text) returns void language plpgsql stable security definer
set search_path = ${schemaName}, pg_temp as $$
begin
  if not may(needed) then
    raise exception 'this needs the role %', needed using errcode = ${literal(storeCodes.role)},
      detail = json_build_object('login', session_user, 'needed', needed, 'what', what,
        'role', (select role from person where login = session_user))::text;
  end if;
end $$;
create or replace function need_why(why text) returns void language plpgsql immutable as $$
begin
  if coalesce(btrim(why), '') = '' then
    raise exception 'a reason is missing' using errcode = ${literal(storeCodes.why)};
  end if;
end $$;
`;

const people = `
create or replace function set_person(whom text, called text, given text, why text) returns void
language plpgsql security definer set search_path = ${schemaName}, pg_temp as $$
declare
  held text;
begin
  perform need('decide', 'who has which role');
  perform need_why(why);
  lock table person in share row exclusive mode;
  select role into held from person where login = whom;
  if given is not null and not exists (select from pg_catalog.pg_roles where rolname = whom and rolcanlogin) then
    raise exception 'there is no login %', whom using errcode = ${literal(storeCodes.login)},
      detail = json_build_object('login', whom)::text;
  end if;
  if held = 'decide' and given is distinct from 'decide'
    and not exists (select from person where role = 'decide' and login <> whom) then
    raise exception 'nobody would be left to decide' using errcode = ${literal(storeCodes.last)},
      detail = json_build_object('login', whom)::text;
  end if;
  insert into person_change (login, name, before, role, who, why) values (
    whom, coalesce(called, (select name from person where login = whom), whom), held, given, session_user, why
  );
  if given is null then
    delete from person where login = whom;
  else
    insert into person (login, name, role) values (whom, coalesce(called, whom), given)
    on conflict (login) do update set role = given, name = coalesce(called, person.name);
  end if;
end $$;
`;

const changing = `
create or replace function put_piece(bytes bytea) returns void language plpgsql security definer
set search_path = ${schemaName}, pg_temp as $$
begin
  perform need('work', 'the files of a dossier');
  insert into piece (sha256, content) values (sha256(bytes), bytes) on conflict do nothing;
end $$;
create or replace function commit_change(into_dossier text, is_new boolean, why text, files jsonb)
returns table (number int, stamp timestamptz) language plpgsql security definer
set search_path = ${schemaName}, pg_temp as $$
declare
  file record;
  conflicts json;
begin
  perform need('work', 'the files of a dossier');
  perform need_why(why);
  for file in select path from jsonb_to_recordset(files) as f(path text) loop
    if file.path ~ ${literal(sealedForm)} then perform need('seal', file.path); end if;
    if file.path ~ ${literal(decisionForm)} then perform need('decide', file.path); end if;
  end loop;
  if is_new then
    insert into dossier (id) values (into_dossier) on conflict do nothing;
    if not found then
      raise exception 'there is a dossier % already', into_dossier using errcode = ${literal(storeCodes.exists)},
        detail = json_build_object('dossier', into_dossier)::text;
    end if;
  end if;
  perform from dossier where id = into_dossier for update;
  if not found then
    raise exception 'there is no dossier %', into_dossier using errcode = ${literal(storeCodes.unknown)},
      detail = json_build_object('dossier', into_dossier)::text;
  end if;
  -- A file that was removed counts as not there, so that it can come again.
  select json_agg(json_build_object('path', f.path, 'revision', h.revision)) into conflicts
  from jsonb_to_recordset(files) as f(path text, base int)
  left join lateral (
    select v.revision, v.removed from version v
    where v.dossier = into_dossier and v.path = f.path order by v.revision desc limit 1
  ) h on true
  where case when h.revision is null or h.removed
    then f.base is not null and f.base is distinct from h.revision
    else f.base is distinct from h.revision end;
  if conflicts is not null then
    raise exception 'somebody else has changed this meanwhile' using errcode = ${literal(storeCodes.conflict)},
      detail = conflicts::text;
  end if;
  return query with made as (
    insert into change (dossier, revision, who, name, why)
    select into_dossier,
      coalesce((select max(c.revision) from change c where c.dossier = into_dossier), 0) + 1,
      session_user, (select p.name from person p where p.login = session_user), commit_change.why
    returning revision, at
  ) select revision, at from made;
  insert into version (dossier, revision, path, removed, sha256, bytes, pieces)
  select into_dossier, (select max(c.revision) from change c where c.dossier = into_dossier),
    f.path, f.removed, decode(f.sha256, 'hex'), f.bytes,
    array(select decode(one, 'hex') from jsonb_array_elements_text(f.pieces) with ordinality as t(one, place) order by place)
  from jsonb_to_recordset(files) as f(path text, removed boolean, sha256 text, bytes bigint, pieces jsonb);
  -- Every byte is there, and a file of one piece is what its hash says.
  if exists (
    select from version v
    where v.dossier = into_dossier and v.revision = (select max(c.revision) from change c where c.dossier = into_dossier)
      and not v.removed and (
        v.bytes <> coalesce((select sum(length(p.content)) from unnest(v.pieces) as u(one) join piece p on p.sha256 = u.one), 0)
        or (cardinality(v.pieces) = 1 and v.pieces[1] <> v.sha256)
        or (cardinality(v.pieces) = 0 and v.sha256 <> sha256(''))
      )
  ) then
    raise exception 'the pieces of a file are not its bytes';
  end if;
end $$;
`;

/**
 * One person's part of a decision upon a sheet: the sheet is in the store with these bytes, and every file that
 * it rests on is the newest one there. Two logins make a decision; a third has nothing to add.
 */
const deciding = `
create or replace function decide(of_dossier text, sheet text, hash text, said text, why text, rests jsonb)
returns void language plpgsql security definer set search_path = ${schemaName}, pg_temp as $$
declare
  stale json;
begin
  perform need('decide', 'a decision upon a sheet');
  perform need_why(why);
  if said not in (${decisionWords.map(literal).join(", ")}) then
    raise exception 'no decision' using errcode = ${literal(storeCodes.word)},
      detail = json_build_object('word', said)::text;
  end if;
  perform from dossier where id = of_dossier for update;
  if not found then
    raise exception 'there is no dossier %', of_dossier using errcode = ${literal(storeCodes.unknown)},
      detail = json_build_object('dossier', of_dossier)::text;
  end if;
  if exists (select from decision d where d.dossier = of_dossier and d.sha256 = decode(hash, 'hex') and d.who = session_user) then
    raise exception 'decided already' using errcode = ${literal(storeCodes.decided)},
      detail = json_build_object('login', session_user, 'sheet', sheet, 'many', false)::text;
  end if;
  if (select count(*) from decision d where d.dossier = of_dossier and d.sha256 = decode(hash, 'hex')) >= 2 then
    raise exception 'two have decided' using errcode = ${literal(storeCodes.decided)},
      detail = json_build_object('login', session_user, 'sheet', sheet, 'many', true)::text;
  end if;
  select json_agg(r.name order by r.name) into stale from (
    select f.name, f.sha256 from jsonb_to_recordset(rests) as f(name text, sha256 text)
    union all select sheet, hash
    union all select 'valve.yaml', null where not rests @> '[{"name": "valve.yaml"}]'
  ) r
  where not exists (
    select from (
      select v.removed, v.sha256 from version v
      where v.dossier = of_dossier and v.path = r.name order by v.revision desc limit 1
    ) head where not head.removed and encode(head.sha256, 'hex') = r.sha256
  );
  if stale is null then
    select json_agg(h.path order by h.path) into stale from (
      select distinct on (v.path) v.path, v.removed from version v
      where v.dossier = of_dossier and v.path ~ ${literal(sheetBasisForm)} order by v.path, v.revision desc
    ) h
    where not h.removed and not exists (
      select from jsonb_to_recordset(rests) as f(name text) where f.name = h.path
    );
  end if;
  if stale is not null then
    raise exception 'the sheet is out of date' using errcode = ${literal(storeCodes.outdated)},
      detail = json_build_object('sheet', sheet, 'files', stale)::text;
  end if;
  insert into decision (dossier, path, sha256, word, who, name, why) values (
    of_dossier, sheet, decode(hash, 'hex'), said, session_user,
    (select p.name from person p where p.login = session_user), decide.why
  );
end $$;
`;

/** Reading is for people of the team. */
const reading = ["about", "person", "person_change", "dossier", "change", "version", "piece", "decision"]
  .map(
    (table) => `
grant select on ${table} to public;
${
  table === "about"
    ? ""
    : `alter table ${table} enable row level security;
drop policy if exists reading on ${table};
create policy reading on ${table} for select using ((select may('read')));`
}`,
  )
  .join("\n");

const beginning = (format: number): string => `
grant usage on schema ${schemaName} to public;
delete from about;
insert into about (format) values (${String(format)});
insert into person (login, name, role)
  select session_user, coalesce(nullif(current_setting('coldturn.name', true), ''), session_user), 'decide'
  where not exists (select from person);
insert into person_change (login, name, role, who, why)
  select login, name, role, login, 'made the store' from person
  where not exists (select from person_change);
`;

/** Everything, in one transaction; a store of an older form is brought to this one, its contents stay. */
export const structure = [
  tables,
  keeping,
  asking,
  people,
  changing,
  deciding,
  reading,
  beginning(storeFormat),
].join("\n");
