/** Pictures and tables of question 9: the envelope along the line, pressure at the valve against time, ratings and priming. */
import type { Figure } from "../picture/index.js";
import { type SurgeAnswer, type SurgeRun, surgeFigure } from "../predict/index.js";
import type { Table } from "./answer.js";
import { inUnit } from "./inUnit.js";
import { percentWords, quantityWords, valueWords } from "./words.js";

const bar = (values: readonly number[]) => inUnit(values, "pressure", "bar(a)");

/** The envelope of both strokes and the history of each at the valve. */
export function surgeFigures({ closing, opening, places }: SurgeAnswer): readonly Figure[] {
  const allowed = places.flatMap(({ allowed_Pa, name }) =>
    allowed_Pa === undefined ? [] : [{ allowed_Pa, name }],
  );
  const weakest = allowed.toSorted((a, b) => a.allowed_Pa - b.allowed_Pa)[0];
  return [closing, opening].flatMap((run) => {
    if (run === undefined) return [];
    return [envelope(run, weakest), history(run), ...stations(run)];
  });
}

/** One picture for each place that was asked for. */
function stations({ sense, time_s, stations: places, end_s }: SurgeRun): readonly Figure[] {
  const x = inUnit(time_s, "time", "ms");
  return places.map(({ name, pressure_Pa }, k): Figure => {
    const [highest, lowest] = [Math.max(...pressure_Pa), Math.min(...pressure_Pa)];
    return {
      kind: "plot",
      id: `line-station-${k + 1}-${sense}`,
      title: `Pressure at ${name}, ${sense}`,
      words: `Pressure at ${name} against the time since the command, ${sense}: at most ${quantityWords(highest, "pressure")}, at least ${quantityWords(lowest, "pressure")}; the ball stands still from ${quantityWords(end_s, "time", "ms")} on.`,
      x: { label: "Time since the command", unit: "ms" },
      y: { label: "Pressure", unit: "bar(a)" },
      marks: [{ kind: "line", role: "prediction", label: name, x, y: bar(pressure_Pa) }, endOfMotion(end_s)],
    };
  });
}

function endOfMotion(end_s: number) {
  return {
    kind: "event",
    role: "neutral",
    x: inUnit([end_s], "time", "ms")[0] ?? Number.NaN,
    label: "end of motion",
  } as const;
}

function envelope(
  { sense, x_m, high_Pa, low_Pa, steady_Pa }: SurgeRun,
  weakest: { readonly allowed_Pa: number; readonly name: string } | undefined,
): Figure {
  const highest = Math.max(...high_Pa);
  const lowest = Math.min(...low_Pa);
  const x = [...x_m];
  return {
    kind: "plot",
    id: `line-envelope-${sense}`,
    title: `Pressure along the line, ${sense}`,
    words: `Highest and lowest pressure against the distance from the tank while the valve is ${sense}: at most ${quantityWords(highest, "pressure")}, at least ${quantityWords(lowest, "pressure")}; between them the steady pressure before it moves.`,
    x: { label: "Distance from the tank", unit: "m" },
    y: { label: "Pressure", unit: "bar(a)" },
    marks: [
      {
        kind: "band",
        role: "prediction",
        label: "lowest to highest",
        x,
        low: bar(low_Pa),
        high: bar(high_Pa),
      },
      { kind: "line", role: "neutral", label: "before", x, y: bar(steady_Pa) },
      ...(weakest === undefined
        ? []
        : [
            {
              kind: "limit",
              axis: "y",
              value: bar([weakest.allowed_Pa])[0] ?? Number.NaN,
              label: weakest.name,
              forbidden: "above",
            } as const,
          ]),
    ],
  };
}

function history({ sense, time_s, ahead_Pa, behind_Pa, end_s }: SurgeRun): Figure {
  const x = inUnit(time_s, "time", "ms");
  const highest = Math.max(...ahead_Pa);
  const lowest = Math.min(...behind_Pa);
  return {
    kind: "plot",
    id: `line-valve-${sense}`,
    title: `Pressure at the valve, ${sense}`,
    words: `Pressure ahead of the valve and behind it against the time since the command, ${sense}: ahead at most ${quantityWords(highest, "pressure")}, behind at least ${quantityWords(lowest, "pressure")}; the ball stands still from ${quantityWords(end_s, "time", "ms")} on.`,
    x: { label: "Time since the command", unit: "ms" },
    y: { label: "Pressure", unit: "bar(a)" },
    marks: [
      { kind: "line", role: "prediction", label: "ahead", x, y: bar(ahead_Pa) },
      { kind: "line", role: "demand", label: "behind", x, y: bar(behind_Pa) },
      endOfMotion(end_s),
    ],
  };
}

/** Each rated place, the pipes, how well it is resolved, and priming. */
export function surgeTables(answer: SurgeAnswer): readonly Table[] {
  const { places, figures, bounds, closing, opening, priming } = answer;
  if (bounds === undefined || closing === undefined || opening === undefined) return [];
  const milliseconds = (value: number) => valueWords(value, undefined, "time", "ms");
  const shortest = new Map(bounds.shortest.map(({ place, time_s }) => [place.name, time_s]));
  const share = (value: number) => percentWords(Math.abs(value));
  return [
    {
      title: "Places of the line",
      columns: [
        "place",
        "may reach",
        "highest, closing",
        "highest, opening",
        "shortest time of the closing motion",
      ],
      rows: places.map((place, i) => {
        const time = shortest.get(place.name);
        return [
          place.name,
          place.allowed_Pa === undefined ? "not known" : quantityWords(place.allowed_Pa, "pressure"),
          valueWords(figures.nominal[surgeFigure(place)] ?? Number.NaN, undefined, "pressure", "bar(a)"),
          valueWords(bounds.opened[i]?.pressure_Pa ?? Number.NaN, undefined, "pressure", "bar(a)"),
          time === undefined || Number.isNaN(time)
            ? "not known"
            : Number.isFinite(time)
              ? milliseconds(time)
              : "none that was tried",
        ];
      }),
    },
    ...(closing.stations.length > 0 ? [stationTable(closing, opening)] : []),
    {
      title: "Pipes",
      columns: ["pipe", "wave speed", "speed, wide open"],
      rows: bounds.pipes.map(({ name, waveSpeed_m_s, speed_m_s }) => [
        name,
        valueWords(waveSpeed_m_s, undefined, "speed", "m/s"),
        valueWords(speed_m_s, undefined, "speed", "m/s"),
      ]),
    },
    {
      title: "Waves and motion",
      columns: ["what", "value"],
      rows: [
        ["2 L/a ahead of the valve", milliseconds(bounds.aheadCritical_s)],
        ["2 L/a behind it", milliseconds(bounds.behindCritical_s)],
        [
          "rise of an instant closing, rho a dv",
          quantityWords(bounds.joukowsky_Pa, "pressure difference", "bar"),
        ],
        ["motion of the ball, closing", milliseconds(closing.end_s - closing.start_s)],
        ["share by which the waves change that time", share(closing.coupling)],
        ["and that of the opening", share(opening.coupling)],
        ["vapour at most, closing", quantityWords(closing.vapour_m3, "volume", "mL")],
        ["vapour at most, opening", quantityWords(opening.vapour_m3, "volume", "mL")],
        ["difference of two grids, of the rise", share(bounds.gridUncertainty)],
        ["travel times rounded to whole steps, by at most", share(bounds.rounded)],
        ...(bounds.isScaled
          ? [["friction of pipes and components", "scaled down to the declared drop of its side"]]
          : []),
      ],
    },
    ...(priming === undefined ? [] : [primingTable(priming)]),
  ];
}

function stationTable(closing: SurgeRun, opening: SurgeRun): Table {
  const words = (value: number) => quantityWords(value, "pressure");
  return {
    title: "Stations of the line",
    columns: ["station", "closing, highest", "lowest", "opening, highest", "lowest"],
    rows: closing.stations.map(({ name, pressure_Pa: close }, k) => {
      const open = opening.stations[k]?.pressure_Pa ?? [];
      return [
        name,
        words(Math.max(...close)),
        words(Math.min(...close)),
        words(Math.max(...open)),
        words(Math.min(...open)),
      ];
    }),
  };
}

function primingTable({
  filled,
  mass_kg,
  flashedShare,
  boiledByMetal_kg,
}: NonNullable<SurgeAnswer["priming"]>): Table {
  const filling = quantityWords(mass_kg, "mass", "kg");
  return {
    title: "Filling of the empty line",
    columns: ["what", "value"],
    rows: [
      ["time to fill", filled.time === undefined ? "not filled" : quantityWords(filled.time, "time", "ms")],
      ["speed of the front as it is stopped", quantityWords(filled.frontSpeed, "speed", "m/s")],
      ["pressure as it is stopped", quantityWords(filled.stopPressure, "pressure")],
      ["the same against a dead end", quantityWords(filled.deadEndPressure, "pressure")],
      [
        "gas ahead at most, shut in without losing heat by the declared exponent",
        `${quantityWords(filled.gasPressure, "pressure")}, ${quantityWords(filled.gasTemperature, "temperature", "K")}`,
      ],
      ["liquid that fills it", filling],
      [
        "flashes by pressure alone, at least, of what enters",
        flashedShare === undefined ? "not known" : percentWords(flashedShare),
      ],
      [
        "boiled by the heat of the metal, at most",
        boiledByMetal_kg === undefined
          ? "not known: line.priming.metal"
          : quantityWords(boiledByMetal_kg, "mass", "kg"),
      ],
    ],
  };
}
