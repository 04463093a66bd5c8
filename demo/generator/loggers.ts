/** Four loggers and how each writes its file. */

/** One sample as the sensors saw it. */
export interface Sample {
  /** Time since the command on a true clock [s]. */
  readonly since_s: number;
  readonly command: boolean;
  readonly angle_rad: number;
  readonly current_A: number;
  readonly voltage_V: number;
  readonly pressure_Pa: number;
}

export interface LoggerHabit {
  readonly caseId: string;
  readonly fileName: string;
  readonly rate_Hz: number;
  readonly angleNoise_rad: number;
  write(samples: readonly Sample[]): Uint8Array;
}

const degrees = 180 / Math.PI;
const psi = 6894.757;
const utf8 = (text: string) => new TextEncoder().encode(text);
const comma = (value: number, digits: number) => value.toFixed(digits).replace(".", ",");

/** Bench logger: metadata ahead of the table, semicolons, decimal commas, a gap of missing samples. */
const bench: LoggerHabit = {
  caseId: "dry-ambient",
  fileName: "bench-dry.csv",
  rate_Hz: 1000,
  angleNoise_rad: 0.0015,
  write: (samples) => {
    const start = 4.2;
    const head = [
      "Bench logger 3;;;;",
      "Test;Petrel oxygen valve, dry, bench;;;",
      "Date;2026-04-14;;;",
      "Rate;1000 Hz;;;",
      "",
      "Zeit [s];Command [V];Angle [deg];Current [A];Supply [V]",
    ];
    const rows = samples.flatMap((s, i) =>
      i >= 300 && i < 312
        ? []
        : [
            [
              comma(start + s.since_s, 4),
              s.command ? "5,00" : "0,00",
              comma(s.angle_rad * degrees, 2),
              comma(s.current_A, 3),
              comma(s.voltage_V, 2),
            ].join(";"),
          ],
    );
    return utf8(`${[...head, ...rows].join("\r\n")}\r\n`);
  },
};

/** Pressure rig: a unit row under the header, pressure in psig, columns in another order, a repeated stamp. */
const rig: LoggerHabit = {
  caseId: "pressurised-ambient",
  fileName: "rig-water-28bar.csv",
  rate_Hz: 1000,
  angleNoise_rad: 0.0015,
  write: (samples) => {
    const rows = samples.flatMap((s, i) => {
      const time = (s.since_s + 2.5) * 1e3;
      const row = [
        s.voltage_V.toFixed(2),
        ((s.pressure_Pa - 101325) / psi).toFixed(1),
        (s.current_A * 1e3).toFixed(0),
        (s.angle_rad * degrees).toFixed(2),
        s.command ? "1" : "0",
        time.toFixed(1),
      ].join(",");
      return i === 900 ? [row, row] : [row];
    });
    const head = ["supply,p_upstream,motor current,angle,open command,time", "V,psig,mA,deg,-,ms"];
    return utf8(`\uFEFF${[...head, ...rows].join("\n")}\n`);
  },
};

/** Cold stand: clock stamps, tabs, an angle sensor mounted the other way round, a clock 0.07 % fast. */
const stand: LoggerHabit = {
  caseId: "nitrogen",
  fileName: "stand-nitrogen.txt",
  rate_Hz: 500,
  angleNoise_rad: 0.002,
  write: (samples) => {
    const zero = Date.UTC(2026, 3, 18, 9, 41, 7, 250);
    const rows = samples.map((s) => {
      const stamp = new Date(zero);
      const micros = Math.round((s.since_s + 2) * 1.0007e6);
      stamp.setUTCMilliseconds(stamp.getUTCMilliseconds() + Math.floor(micros / 1000));
      const text = stamp.toISOString().replace("Z", `${String(micros % 1000).padStart(3, "0")}Z`);
      return [
        text,
        s.command ? "24.0" : "0.0",
        (-s.angle_rad * degrees).toFixed(2),
        s.current_A.toFixed(3),
        s.voltage_V.toFixed(2),
        (s.pressure_Pa / 1e5).toFixed(3),
      ].join("\t");
    });
    const head = [
      "# cold stand, liquid nitrogen",
      "# angle sensor on the lower side",
      "timestamp\tvalve_cmd (V)\tangle (deg)\ti_motor (A)\tu_supply (V)\tp_tank (bar(a))",
    ];
    return utf8(`${[...head, ...rows].join("\n")}\n`);
  },
};

/** The same stand under pressure: some current values missing, a line of dashes at the end. */
const standUnderPressure: LoggerHabit = {
  ...stand,
  caseId: "nitrogen-pressurised",
  fileName: "stand-nitrogen-28bar.txt",
  write: (samples) => {
    const rows = samples.map((s, i) =>
      [
        (s.since_s + 3.75).toFixed(4),
        s.command ? "24.0" : "0.0",
        (-s.angle_rad * degrees).toFixed(2),
        i % 211 === 17 ? "OVER" : s.current_A.toFixed(3),
        s.voltage_V.toFixed(2),
        (s.pressure_Pa / 1e5).toFixed(3),
      ].join("\t"),
    );
    const head = [
      "# cold stand, liquid nitrogen at tank pressure",
      "# angle sensor on the lower side",
      "t (s)\tvalve_cmd (V)\tangle (deg)\ti_motor (A)\tu_supply (V)\tp_tank (bar(a))",
    ];
    return utf8(`${[...head, ...rows].join("\n")}\n---\t---\t---\t---\t---\t---\n`);
  },
};

export const loggers: readonly LoggerHabit[] = [bench, rig, stand, standUnderPressure];
