import { describe, expect, it } from "vitest";
import { readCell, readSwitch } from "../../../src/evidence/log/cell.js";
import { declaredRate } from "../../../src/evidence/log/metadata.js";
import { guessRole } from "../../../src/evidence/log/roles.js";
import { readStamp } from "../../../src/evidence/log/stamp.js";
import { splitName } from "../../../src/evidence/log/unitText.js";

describe("a cell", () => {
  it.each([
    ["1.5", "point", 1.5],
    ["-.5", "point", -0.5],
    ["+2.", "point", 2],
    ["1.5E-03", "point", 0.0015],
    ["1.5D+02", "point", 150],
    ["\u22123.2", "point", -3.2],
    ["1,234.5", "point", 1234.5],
    ["1,5", "comma", 1.5],
    ["1.234,5", "comma", 1234.5],
    ["7", "comma", 7],
    ["25'296.77", "point", 25296.77],
    ["-1'234'567", "point", -1234567],
    ["25\u2019296,77", "comma", 25296.77],
    ["25\u00a0296,77", "comma", 25296.77],
    ["25\u202f296", "comma", 25296],
  ] as const)("%s with decimal %s is a number", (text, decimal, value) => {
    expect(readCell(text, decimal)).toEqual({ kind: "number", value });
  });

  it.each([
    ["1,5", "point"],
    ["1,234", "point"],
    ["1.5", "comma"],
    ["1.234", "comma"],
    ["12 V", "point"],
    ["0x1F", "point"],
    ["1e", "point"],
    ["1.2.3", "point"],
    ["12'34", "point"],
    ["1'234,5", "point"],
  ] as const)("%s with decimal %s is none", (text, decimal) => {
    expect(readCell(text, decimal)).toEqual({ kind: "words" });
  });

  it.each(["NaN", "nan", "---", "n/a", "#N/A", "1.#QNAN"])("%s is no reading", (text) => {
    expect(readCell(text, "point")).toEqual({ kind: "marker", means: "no reading" });
  });

  it.each(["OVER", "OL", "O.L", "-inf", "Infinity", "+OVLD", "9.9E+37", "9.91E37", "1e999"])(
    "%s is over range",
    (text) => {
      expect(readCell(text, "point")).toEqual({ kind: "marker", means: "over range" });
    },
  );

  it("a two-valued cell is 1 or 0", () => {
    expect(["ON", "open", "TRUE", "auf", "Off", "closed", "false"].map(readSwitch)).toEqual([
      1, 1, 1, 1, 0, 0, 0,
    ]);
    expect(readSwitch("half")).toBeUndefined();
  });
});

describe("a stamp", () => {
  // 2031-04-18 is day 22,387 after 1970-01-01: 61 years of 365 days, 15 leap days, 107 days of 2031.
  const day = 61 * 365 + 15 + 107;
  const second = 10 * 3600 + 15 * 60 + 30.25;
  it.each([
    "2031-04-18T10:15:30.25",
    "2031-04-18T10:15:30.250Z",
    "2031-04-18 10:15:30,25",
    "2031/04/18 10:15:30.25",
    "18.04.2031 10:15:30,25",
    "18/04/2031 10:15:30.25",
    "04/18/2031 10:15:30.25 AM",
    "2031-04-18T12:15:30.25+02:00",
    "2031-04-18T04:45:30.25-05:30",
  ])("%s", (text) => {
    expect(readStamp(text)).toEqual({ day, second, ambiguous: false });
  });

  it("reads twelve-hour clocks", () => {
    expect(readStamp("12:00:01 AM")?.second).toBe(1);
    expect(readStamp("12:00:01 PM")?.second).toBe(43_201);
    expect(readStamp("1:00:00 pm")?.second).toBe(46_800);
  });

  it("says where day and month could be exchanged", () => {
    expect(readStamp("04/05/2031 10:00:00")?.ambiguous).toBe(true);
    expect(readStamp("04/04/2031 10:00:00")?.ambiguous).toBe(false);
  });

  it.each(["2031-02-30 10:00:00", "2031-13-01 10:00:00", "25:00:00", "10:61:00", "13:00:00 PM", "1.5", "10"])(
    "%s is none",
    (text) => {
      expect(readStamp(text)).toBeUndefined();
    },
  );
});

describe("the head of a column", () => {
  it.each([
    ["Current [mA]", "Current", "mA"],
    ["p_up (psi)", "p_up", "psi"],
    ["angle/deg", "angle", "deg"],
    ["t_ms", "t", "ms"],
    ["Torque, N m", "Torque", "N m"],
    ["Temp in degC", "Temp", "degC"],
    ["p1 [bar(g)]", "p1", "bar(g)"],
    ["p1 (bar) (a)", "p1", "bar(a)"],
    ["Inlet_psi_g", "Inlet", "psi(g)"],
    ["Inlet BARG", "Inlet", "bar(g)"],
    ["Flow [kg/s]", "Flow", "kg/s"],
    ["Strain [µε]", "Strain", "µm/m"],
    ["Temperature [C]", "Temperature", "degC"],
    ["pos_raw", "pos", "counts"],
  ])("%s", (text, name, unit) => {
    expect(splitName(text)).toEqual({ name, unit });
  });

  it.each(["p_up", "motor current", "temp_g", "valve (new)", "x"])("%s has no unit", (text) => {
    expect(splitName(text)).toEqual({ name: text });
  });

  it.each([
    ["I_motor", "A", "motor_current"],
    ["Motorstrom", "A", "motor_current"],
    ["shunt", "mV", "motor_current"],
    ["V_supply", "V", "supply_voltage"],
    ["Batteriespannung", "V", "supply_voltage"],
    ["Massenstrom", "kg/s", "flow"],
    ["Ventilbefehl", undefined, "command"],
    ["PT-201 inlet", "bar(g)", "pressure_upstream"],
    ["p2", "kPa(a)", "pressure_downstream"],
    ["pressure", "bar", "other"],
    ["T_LOX", "K", "temperature_fluid"],
    ["motor temperature", "degC", "temperature_motor"],
    ["position", "mm", "other"],
    ["stem position", "deg", "angle"],
    ["position setpoint", "deg", "command"],
    ["valve cmd", undefined, "command"],
    ["mdot", "kg/s", "flow"],
    ["Torque", "lbf in", "torque"],
    ["SG1", "µm/m", "strain"],
    ["ambient humidity", "%", "other"],
  ])("%s in %s is %s", (name, unit, role) => {
    expect(guessRole(name, unit).role).toBe(role);
  });
});

it.each([
  ["Sample rate,100 Hz", "100 Hz"],
  ["Sampling rate [Hz]: 1000", "1000 Hz"],
  ["Rate;500 Hz;;;", "500 Hz"],
  ["Rate: 5 K/min", undefined],
  ["# fs = 2.5 kHz", "2500 Hz"],
  ["Abtastrate;500;Hz", "500 Hz"],
  ["Sample interval: 2 ms", "500 Hz"],
  ["scan rate 50 S/s", "50 Hz"],
  ["Run 7", undefined],
  ["Sample holder 12", undefined],
])("metadata %s declare %s", (text, rate) => {
  expect(declaredRate([{ line: 1, text }])).toBe(rate);
});
