/**
 * Which values of a dossier something was worked out from. It stands for a changed dossier too, as long
 * as every value that was read is the same there: so an edit costs the answers that it moves, and no others.
 *
 * The dossier is handed out behind proxies that note each value as it is read. Nothing has to be declared,
 * and so nothing can be forgotten.
 */
import type { Dossier } from "../dossier/index.js";

type Steps = readonly (string | number)[];

interface Seen {
  readonly steps: Steps;
  readonly value: unknown;
}

/** Stands for the names of all fields of a section; no field has such a name. */
const keysOfIt = "keys of it";
/** A section or list, whose own parts are noted when they are read. */
const branch = Symbol("branch");

export class Reads {
  /** The same dossier; what is read of it is noted. */
  readonly dossier: Dossier;
  private readonly seen = new Map<string, Seen>();

  constructor(private readonly of: Dossier) {
    const valve = this.watched(of.valve, []) as Dossier["valve"];
    this.dossier = { ...of, valve };
  }

  /** Whether everything that was read is the same in another dossier. */
  hold(other: Dossier): boolean {
    if (other === this.of) return true;
    if (other.path !== this.of.path || !isSame(this.of.faulty, other.faulty)) return false;
    for (const { steps, value } of this.seen.values())
      if (!isSame(value, noted(itemAlong(other.valve, steps), steps.at(-1)))) return false;
    return true;
  }

  private watched(raw: object, steps: Steps): object {
    const parts = new Map<string, unknown>();
    const part = (name: string): unknown => {
      if (parts.has(name)) return parts.get(name);
      const value: unknown = Reflect.get(raw, name);
      this.note([...steps, name], value);
      const handed = isBranch(value, name) ? this.watched(value, [...steps, name]) : value;
      parts.set(name, handed);
      return handed;
    };
    const isOwn = (name: string | symbol): name is string =>
      typeof name === "string" && (Object.hasOwn(raw, name) || !(name in raw));
    return new Proxy(raw, {
      get: (_, name, self) => (isOwn(name) ? part(name) : Reflect.get(raw, name, self)),
      has: (_, name) => {
        if (isOwn(name)) part(name);
        return Reflect.has(raw, name);
      },
      ownKeys: () => {
        // Which fields there are is a thing that was read, too.
        this.note([...steps, keysOfIt], Object.keys(raw).join("\n"));
        return Reflect.ownKeys(raw);
      },
      getOwnPropertyDescriptor: (_, name) => {
        const found = Reflect.getOwnPropertyDescriptor(raw, name);
        if (!isOwn(name)) return found;
        const value = part(name);
        return found === undefined || !found.configurable ? found : { ...found, value };
      },
    });
  }

  private note(steps: Steps, value: unknown): void {
    const path = steps.join("\n");
    if (!this.seen.has(path)) this.seen.set(path, { steps, value: noted(value, steps.at(-1)) });
  }
}

/** Own solids are read whole: their curves are looked up in every sample. */
const whole = "solids";

function isBranch(value: unknown, name: string | number | undefined): value is object {
  return typeof value === "object" && value !== null && !("law" in value) && name !== whole;
}

function noted(value: unknown, name?: string | number): unknown {
  return isBranch(value, name) ? branch : value;
}

function itemAlong(root: unknown, steps: Steps): unknown {
  let here = root;
  for (const step of steps) {
    if (typeof here !== "object" || here === null) return undefined;
    here = step === keysOfIt ? Object.keys(here).join("\n") : Reflect.get(here, step);
  }
  return here;
}

function isSame(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  if (a instanceof Set && b instanceof Set)
    return a.size === b.size && [...a].every((item: unknown) => b.has(item));
  const names = Object.keys(a);
  return (
    names.length === Object.keys(b).length &&
    names.every((name) => Object.hasOwn(b, name) && isSame(Reflect.get(a, name), Reflect.get(b, name)))
  );
}
