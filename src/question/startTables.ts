/** Tables of question 10: the start in numbers, offsets, what fails, the abort, the stop. */
import type { EngineRun, SideRun } from "../physics/start/index.js";
import type { StartAnswer, StartRuns, SurgeAnswer, TriedStart } from "../predict/index.js";
import type { Table } from "./answer.js";
import { probabilityWords, quantityWords, valueWords } from "./words.js";

const milliseconds = (value: number | undefined) =>
  value === undefined || !Number.isFinite(value) ? "never" : valueWords(value, undefined, "time", "ms");

/** The tables; those of the start only where it is known. */
export function startTables(answer: StartAnswer, surge: SurgeAnswer): readonly Table[] {
  return [...ofStart(answer), ...ofAbort(surge)];
}

function ofStart({ runs, offsets, led, side, figures }: StartAnswer): readonly Table[] {
  if (runs === undefined) return [];
  const { start, stop, abort, unlit, dribble } = runs;
  const [own, partner] = sidesOf(start, side);
  const [ownUnlit, partnerUnlit] = sidesOf(unlit, side);
  const both = (what: string, words: (one: SideRun) => string) => [what, words(own), words(partner)];
  return [
    {
      title: "The start, at the nominal values, times from the first command",
      columns: ["what", "this valve's side", "the other side"],
      rows: [
        both("first flow", ({ flows }) => milliseconds(flows)),
        both("liquid at the injector", ({ arrives }) => milliseconds(arrives)),
        both("passed unburnt before ignition", ({ unburnt }) => quantityWords(unburnt, "mass", "g")),
        both("greatest flow through the valve before ignition", ({ coldFlow }) =>
          quantityWords(coldFlow, "mass flow"),
        ),
        both("flow at the end, lit", ({ flow }) => quantityWords(flow, "mass flow")),
        [
          "flow wide open if it does not light",
          unlitWords(ownUnlit.flow, own.flow),
          unlitWords(partnerUnlit.flow, partner.flow),
        ],
        ...(dribble === undefined
          ? []
          : [
              [
                "behind the valve after shutdown, runs out later",
                quantityWords(dribble.own, "mass", "g"),
                quantityWords(dribble.partner, "mass", "g"),
              ],
            ]),
        ...(abort === undefined ? [] : [ofAborted(abort, side)]),
      ],
    },
    {
      title: "Chamber, at the nominal values",
      columns: ["what", "value"],
      rows: [
        ["ignition, from the first command", milliseconds(start.ignites)],
        ["nine tenths of its pressure, from the first command", milliseconds(start.rises)],
        ["pressure at the end", quantityWords(start.pressure, "pressure")],
        [
          "pressure if all that is unburnt burns at once, at most",
          quantityWords(start.burntAtOnce, "pressure"),
        ],
        ["mixture ratio at the end", ratio(start.endRatio)],
        ...(stop === undefined
          ? []
          : [
              [
                "in a stop: fuel below a tenth of its flow after the oxidiser",
                milliseconds(figures.nominal.stop),
              ],
              ["in a stop: chamber pressure at the end", quantityWords(stop.pressure, "pressure")],
            ]),
        ...(abort === undefined
          ? []
          : [
              [
                "in an abort: fuel below a tenth of its flow after the oxidiser",
                milliseconds(figures.nominal.abort),
              ],
              ["in an abort: chamber pressure at the end", quantityWords(abort.pressure, "pressure")],
            ]),
      ],
    },
    ...offsetTable(offsets),
    ...ledTable(led),
    ...ofFailures(runs, side),
  ];
}

const sidesOf = ({ oxidiser, fuel }: EngineRun, side: StartAnswer["side"]) =>
  side === "fuel" ? ([fuel, oxidiser] as const) : ([oxidiser, fuel] as const);
const ratio = (value: number) => (Number.isFinite(value) ? value.toPrecision(3) : "none");
const flowWords = (value: number) => (value > 0 ? quantityWords(value, "mass flow") : "none");
const unlitWords = (unlit: number, lit: number) =>
  `${quantityWords(unlit, "mass flow")}${lit > 0 ? `, ${(unlit / lit).toPrecision(3)} times the lit one` : ""}`;

/** When each side's flow has fallen in an abort, and what of it still stands behind its valve. */
function ofAborted(abort: EngineRun, side: StartAnswer["side"]): readonly string[] {
  const words = sidesOf(abort, side).map(
    ({ falls, standing }) => `${milliseconds(falls)}; ${quantityWords(standing, "mass", "g")}`,
  );
  return ["in an abort: flow below a tenth, from its first command; behind the valve then", ...words];
}

const offsetColumn = "command of the other valve after this one's";
const keptColumn = "samples that keep lead, mixture ratio and unburnt mass";

function offsetTable(tried: readonly TriedStart[]): readonly Table[] {
  if (tried.length === 0) return [];
  return [
    {
      title: "Other offsets of the commands, both valves as they move by themselves",
      columns: [offsetColumn, keptColumn],
      rows: tried.map(({ offset_s, inside }) => [milliseconds(offset_s), probabilityWords(inside)]),
    },
  ];
}

function ledTable(tried: readonly TriedStart[]): readonly Table[] {
  if (tried.length === 0) return [];
  return [
    {
      title: "Valves led by a position loop, at an even speed of the ball from first motion to open",
      columns: ["which", offsetColumn, keptColumn],
      rows: tried.map(({ words, offset_s, inside }) => [
        words,
        milliseconds(offset_s),
        probabilityWords(inside),
      ]),
    },
  ];
}

function ofFailures({ failed, failedStops }: StartRuns, side: StartAnswer["side"]): readonly Table[] {
  return [
    {
      title: "What fails in a start, at the nominal values, times from the first command",
      columns: [
        "case",
        "ignition",
        "unburnt before it",
        "if that burns at once, at most",
        "mixture ratio",
        "flow at the end: oxidiser, fuel",
      ],
      rows: failed.map(({ words, run }) => [
        words,
        milliseconds(run.ignites),
        run.ignites === undefined && run.oxidiser.flow + run.fuel.flow > 0
          ? `${quantityWords(run.unburnt, "mass", "g")} in ${quantityWords(run.until, "time", "ms")}, and more`
          : quantityWords(run.unburnt, "mass", "g"),
        run.oxidiser.unburnt > 0 && run.fuel.unburnt > 0
          ? quantityWords(run.burntAtOnce, "pressure")
          : run.unburnt > 0
            ? "one propellant alone: not worked out"
            : "nothing to burn",
        run.ignites === undefined ? "none" : `${ratio(run.leastRatio)} to ${ratio(run.mostRatio)}`,
        `${flowWords(run.oxidiser.flow)}, ${flowWords(run.fuel.flow)}`,
      ]),
    },
    ...(failedStops.length === 0
      ? []
      : [
          {
            title: "What fails in a stop, at the nominal values, times from the first command",
            columns: [
              "case",
              "this valve's flow below a tenth",
              "the other's flow below a tenth",
              "chamber pressure at the end",
              "flow at the end: oxidiser, fuel",
            ],
            rows: failedStops.map(({ words, run }) => [
              words,
              ...sidesOf(run, side).map(({ falls }) => milliseconds(falls)),
              quantityWords(run.pressure, "pressure"),
              `${flowWords(run.oxidiser.flow)}, ${flowWords(run.fuel.flow)}`,
            ]),
          },
        ]),
  ];
}

function ofAbort({ bounds }: SurgeAnswer): readonly Table[] {
  if (bounds === undefined || bounds.shortest.length === 0) return [];
  return [
    {
      title: "Fastest abort closing that each rated part allows",
      columns: ["place", "may reach", "shortest time of the motion"],
      rows: bounds.shortest.flatMap(({ place, time_s }) =>
        place.allowed_Pa === undefined
          ? []
          : [
              [
                place.name,
                quantityWords(place.allowed_Pa, "pressure"),
                Number.isFinite(time_s) ? milliseconds(time_s) : "none that was tried",
              ],
            ],
      ),
    },
  ];
}
