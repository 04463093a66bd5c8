/** What a person says of a log, as corrections that the command takes: the mapping that comes out is the one that was said. */
import { describe, expect, it } from "vitest";
import { withCorrections } from "../../src/cli/mapOption.js";
import { inspectLog } from "../../src/evidence/index.js";
import { correctionsOf, proposedSaid, withRole } from "../../src/web/state/corrections.js";

const log = `time [s];Angle [deg];Current [A];Tank [bar]
${Array.from({ length: 40 }, (_, i) => `${i / 100};${i};${i % 7};28`).join("\n")}
`;

describe("corrections of a mapping", () => {
  const inspection = inspectLog(log);
  const proposed = proposedSaid(inspection);
  const roleOf = (corrections: readonly string[], index: number) =>
    withCorrections(inspection.mapping, corrections).channels.find(({ column }) =>
      column.index > 0 ? column.index === index : false,
    );

  it("nothing said is nothing corrected, and the column of the time is no channel", () => {
    expect(correctionsOf(proposed, proposed)).toEqual([]);
    expect(Object.keys(proposed.columns)).toEqual(["2", "3", "4"]);
  });

  it("a role that is given to another column leaves the one that had it", () => {
    const said = withRole(proposed, 3, "angle");
    expect(said.columns[2]?.role).toBe("other");
    const corrections = correctionsOf(proposed, said);
    expect(corrections).toEqual(["other=2", "angle=3"]);
    expect(roleOf(corrections, 3)?.role).toBe("angle");
    expect(roleOf(corrections, 2)?.role).toBe("other");
  });

  it("two columns that change their roles with each other come out so", () => {
    const swapped = withRole(withRole(proposed, 3, "angle"), 2, "motor_current");
    const corrections = correctionsOf(proposed, swapped);
    expect([roleOf(corrections, 2)?.role, roleOf(corrections, 3)?.role]).toEqual(["motor_current", "angle"]);
  });

  it("sign, scale and what a pressure counts from are said by the role of the channel", () => {
    const angle = proposed.columns[2];
    const tank = proposed.columns[4];
    if (angle === undefined || tank === undefined) throw new Error("a column is missing");
    const said = withRole(
      {
        ...proposed,
        columns: {
          ...proposed.columns,
          2: { ...angle, sign: -1 as const, scale: "0:0 deg,5:90 deg" },
          4: { ...tank, gauge: true },
        },
      },
      4,
      "pressure_upstream",
    );
    const corrections = correctionsOf(proposed, said);
    expect(corrections).toEqual(
      expect.arrayContaining([
        "angle.sign=-1",
        "angle.scale=0:0 deg,5:90 deg",
        "pressure_upstream.gauge=true",
      ]),
    );
    expect(roleOf(corrections, 2)).toMatchObject({ sign: -1, scale: [{ reading: 0 }, { reading: 5 }] });
    expect(roleOf(corrections, 4)).toMatchObject({ role: "pressure_upstream", gauge: true });
  });

  it("a scale that was said goes back to what the form showed first without a word", () => {
    const angle = proposed.columns[2];
    if (angle === undefined) throw new Error("a column is missing");
    const typed = { ...proposed, columns: { ...proposed.columns, 2: { ...angle, scale: " " } } };
    expect(correctionsOf(proposed, typed)).toEqual([]);
  });
});
