import { expect, it } from "vitest";
import {
  densityError,
  derivativeError,
  equationOfState,
  fluidTables,
  tableError,
} from "../../bench/fluids.js";

it("density of boiling oxygen at 80 K: Stewart, Jacobsen, Wagner 1991, table 10, printed to five digits", () => {
  expect(densityError()).toBeLessThan(5e-5);
});

it("derivatives agree with central differences, whose own error is of the order of 1e-6", () => {
  expect(derivativeError()).toBeLessThan(1e-4);
});

it("the bench of the equation of state holds the absolute budget of 1.5 us", () => {
  expect(equationOfState.budget).toMatchObject({ kind: "at most", value: 1.5e-6 });
});

it("the tables agree with the equation of state within 1e-6, and their bench holds the budget of 60 ns", () => {
  expect(tableError()).toBeLessThan(1e-6);
  expect(fluidTables.budget).toMatchObject({ kind: "at most", value: 60e-9 });
});
