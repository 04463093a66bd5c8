/** Whose log it is, from its own lines. Common practice of loggers' heads, no source. */
import { describe, expect, it } from "vitest";
import { readMapping } from "../../../src/evidence/log/index.js";
import { readSource, sourceDifferences, sourceOf, sourceWords } from "../../../src/evidence/log/source.js";
import { refusal } from "./samples.js";

const sourceIn = (...texts: readonly string[]) =>
  sourceOf(
    texts.map((text, i) => ({ line: i + 1, text })),
    { delimiter: "semicolon", decimal: "comma" },
  );

describe("the source of a log", () => {
  it.each([
    ["Bench logger 3;;;;", "Bench logger 3"],
    ["Logger: Kestrel 12", "Kestrel 12"],
    ['# Data logger name = "stand A"', "stand A"],
    ["Device;DX-4;;", "DX-4"],
    ["Gerät: Prüfstand 2", "Prüfstand 2"],
    ["Recorder model\tR8\t", "R8"],
    ["Operator;day shift", "none"],
    ["Data logger file of 2031-04-18 10:15:30", "none"],
  ])("names the logger in %j", (text, logger) => {
    expect(sourceIn("Test;Petrel oxygen valve;;", text).logger).toBe(logger);
  });

  it.each([
    ["Serial number: 4711-B", "4711-B"],
    ["S/N 0042;;", "0042"],
    ["Serial;4711;;", "4711"],
    ["Seriennummer;4711", "4711"],
    ["Series of tests: 4711", "none"],
  ])("reads the serial number in %j", (text, serial) => {
    expect(sourceIn(text).serial).toBe(serial);
  });

  it("has the declared rate and the delimiter; of a file without a head the delimiter alone", () => {
    expect(sourceIn("Sampling rate;1 kHz")).toEqual({
      logger: "none",
      serial: "none",
      rate: "1000 Hz",
      delimiter: "semicolon",
    });
    expect(sourceWords(sourceIn())).toBe("delimiter semicolon");
  });

  it("is another one by whatever is said otherwise, or said by one alone; any serves all", () => {
    const one = sourceIn("Logger: A", "Serial: 1");
    expect(sourceDifferences(one, sourceIn("logger: a", "S/N 1"))).toEqual([]);
    expect(sourceDifferences(one, sourceIn("Logger: A", "Serial: 2"))).toEqual(["serial"]);
    expect(sourceDifferences(one, sourceIn("Logger: A"))).toEqual(["serial"]);
    expect(sourceDifferences(sourceIn("Logger: A"), one)).toEqual(["serial"]);
    expect(sourceDifferences({ ...one, serial: "any" }, sourceIn("Logger: A", "Serial: 2"))).toEqual([]);
    expect(sourceDifferences({ logger: "A" }, sourceIn("Logger: A", "Serial: 2"))).toEqual([]);
  });

  it("is told in words, with what differs where it does", () => {
    expect(sourceWords(sourceIn("Logger: A", "Rate: 100 Hz"))).toBe(
      "logger A, sampling rate 100 Hz, delimiter semicolon",
    );
    expect(sourceWords(sourceIn("Logger: A"), ["serial"])).toBe("no serial number");
  });

  it("stands in the mapping, a number as text; another key is refused", () => {
    expect(readSource({ serial: 4711 })).toEqual({ serial: "4711" });
    const mapping = {
      dialect: { delimiter: "comma", decimal: "point" },
      source: { serial: "4711" },
      time: { kind: "sample number", rate: "1 kHz" },
      channels: [],
    };
    expect(readMapping(mapping)).toEqual(mapping);
    const faults = refusal(() => readMapping({ ...mapping, source: { seriel: "1" } }));
    expect(faults[0]).toMatchObject({ code: "mapping-wrong-kind", where: { field: "mapping.source" } });
  });
});
