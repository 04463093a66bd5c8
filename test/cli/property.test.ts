import { describe, expect, it } from "vitest";
import { at, coldturn, recordOf } from "./program.js";

describe("coldturn property", () => {
  it("a fluid: state, values with units, sources; JSON has the same record", async () => {
    const words = ["property", "oxygen", "--temperature", "90K", "--pressure", "30bar(a)"];
    const { status, stdout, stderr } = await coldturn(words);
    expect([status, stderr]).toEqual([0, ""]);
    expect(stdout).toContain("oxygen at 30 bar(a) and 90 K: liquid");
    expect(stdout).toMatch(/density +1148 kg\/m3 +\[schmidt-wagner-1985; stewart-1991\]/);
    expect(stdout).not.toMatch(/NaN|undefined|Infinity|\[object/);
    const record = recordOf(await coldturn([...words, "--json"]));
    expect(record).toMatchObject({ command: "property", status: 0, faults: [] });
    expect(at(record, "result.state")).toBe("liquid");
  });

  it("a solid: its contraction from 293 K, or from where it was measured", async () => {
    const { stdout } = await coldturn(["property", "stainless-316", "--temperature", "90K"]);
    expect(stdout).toMatch(/contraction from 293 K +0\.27 %/);
    const other = await coldturn(["property", "stainless-316", "--temperature", "90K", "--from", "20degC"]);
    expect(other.stdout).toContain("contraction from 293.1 K");
  });

  it("a misspelt name is refused with the near one, a state beyond the equation with its bound", async () => {
    const misspelt = await coldturn(["property", "oxigen", "--temperature", "90K"]);
    expect(misspelt.status).toBe(2);
    expect(misspelt.stderr).toContain('Did you mean "oxygen"?');
    const cold = await coldturn(["property", "oxygen", "--temperature", "40K", "--pressure", "1bar(a)"]);
    expect(cold.status).toBe(2);
    expect(cold.stderr).toContain("below the triple-point temperature 54.36 K");
  });
});
