/** One column of a log: what it is said to be, and why. */
import { useEffect, useId, useState } from "react";
import { roleIds } from "../../../evidence/index.js";
import type { Fault } from "../../../fault/index.js";
import type { ColumnSaid } from "../../state/corrections.js";
import { Faults } from "./Faults.js";
import { own } from "./look.js";

interface ColumnProps {
  readonly name: string;
  readonly said: ColumnSaid;
  /** Why it was proposed. */
  readonly because: string | undefined;
  readonly faults: readonly Fault[];
  readonly onRole: (role: string) => void;
  readonly onSay: (part: Partial<ColumnSaid>) => void;
}

/** Channel, unit, sign and scale of one column. */
export function Column({ name, said, because, faults, onRole, onSay }: ColumnProps) {
  const id = useId();
  const isUsed = said.role !== "other";
  const of = (part: string): readonly Fault[] =>
    faults.filter(({ where }) => where.field === `${said.role}.${part}`);
  const parts = ["unit", "sign", "scale", "gauge"];
  const rest = faults.filter(({ where }) => !parts.some((part) => where.field === `${said.role}.${part}`));
  return (
    <fieldset className={own.column} data-column={name}>
      <legend>{name}</legend>
      <div>
        <label htmlFor={`${id}-role`}>Channel</label>
        <select
          id={`${id}-role`}
          value={said.role}
          aria-invalid={rest.length > 0}
          onChange={({ target }) => onRole(target.value)}
        >
          {roleIds.map((role) => (
            <option key={role} value={role}>
              {role === "other" ? "another quantity, kept" : role.replaceAll("_", " ")}
            </option>
          ))}
        </select>
        <Faults faults={rest} />
      </div>
      {isUsed && (
        <>
          <Typed label="Unit" value={said.unit} faults={of("unit")} onSay={(unit) => onSay({ unit })} />
          <div>
            <label htmlFor={`${id}-sign`}>Sign</label>
            <select
              id={`${id}-sign`}
              value={said.sign}
              aria-invalid={of("sign").length > 0}
              onChange={({ target }) => onSay({ sign: target.value === "-1" ? -1 : 1 })}
            >
              <option value={1}>as it stands</option>
              <option value={-1}>turned round</option>
            </select>
            <Faults faults={of("sign")} />
          </div>
          {said.role.startsWith("pressure") && (
            <div>
              <label htmlFor={`${id}-gauge`}>Counts from</label>
              <select
                id={`${id}-gauge`}
                value={String(said.gauge ?? "")}
                aria-invalid={of("gauge").length > 0}
                onChange={({ target }) =>
                  onSay({ gauge: target.value === "" ? undefined : target.value === "true" })
                }
              >
                <option value="">as its unit says</option>
                <option value="true">the atmosphere</option>
                <option value="false">vacuum</option>
              </select>
              <Faults faults={of("gauge")} />
            </div>
          )}
          <Typed
            label="Scale"
            value={said.scale}
            example="0.5:0 deg,4.5:90 deg"
            faults={of("scale")}
            onSay={(scale) => onSay({ scale })}
          />
        </>
      )}
      {because !== undefined && (
        <p>
          <small>Proposed because {because}.</small>
        </p>
      )}
    </fieldset>
  );
}

interface TypedProps {
  readonly label: string;
  readonly value: string;
  readonly example?: string;
  readonly faults: readonly Fault[];
  readonly onSay: (text: string) => void;
}

/** A text that is taken when it is left or by Enter; Escape goes back to what was taken. */
export function Typed({ label, value, example, faults, onSay }: TypedProps) {
  const id = useId();
  const [typed, setTyped] = useState(value);
  useEffect(() => setTyped(value), [value]);
  const take = (): void => {
    if (typed !== value) onSay(typed);
  };
  return (
    <div>
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="text"
        value={typed}
        placeholder={example ?? ""}
        aria-invalid={faults.length > 0}
        aria-describedby={`${id}-faults`}
        onChange={({ target }) => setTyped(target.value)}
        onBlur={take}
        onKeyDown={({ key }) => {
          if (key === "Enter") take();
          if (key === "Escape") setTyped(value);
        }}
      />
      <Faults faults={faults} id={`${id}-faults`} />
    </div>
  );
}
