/** Tables of question 10: the start in numbers, offsets, what fails, the abort, the stop. */
import type { StartAnswer, SurgeAnswer } from "../predict/index.js";
import type { Table } from "./answer.js";
import { percentWords, quantityWords, valueWords } from "./words.js";

const milliseconds = (value: number | undefined) =>
  value === undefined || !Number.isFinite(value) ? "never" : valueWords(value, undefined, "time", "ms");

/** The tables; those of the start only where it is known. */
export function startTables(answer: StartAnswer, surge: SurgeAnswer): readonly Table[] {
  return [...ofStart(answer), ...ofAbort(surge)];
}

function ofStart({ runs, offsets, side, figures }: StartAnswer): readonly Table[] {
  if (runs === undefined) return [];
  const { start, stop, failed, dribble } = runs;
  const [own, partner] = side === "fuel" ? [start.fuel, start.oxidiser] : [start.oxidiser, start.fuel];
  const ratio = (value: number) => (Number.isFinite(value) ? value.toPrecision(3) : "none");
  return [
    {
      title: "The start, at the nominal values",
      columns: ["what", "this valve's side", "the other side"],
      rows: [
        ["first flow", milliseconds(own.flows), milliseconds(partner.flows)],
        ["liquid at the injector", milliseconds(own.arrives), milliseconds(partner.arrives)],
        [
          "greatest flow, unlit",
          quantityWords(own.coldFlow, "mass flow"),
          quantityWords(partner.coldFlow, "mass flow"),
        ],
        ["flow at the end", quantityWords(own.flow, "mass flow"), quantityWords(partner.flow, "mass flow")],
        [
          "passed before ignition",
          quantityWords(own.unburnt, "mass", "g"),
          quantityWords(partner.unburnt, "mass", "g"),
        ],
        [
          "runs out after shutdown",
          quantityWords(dribble.own, "mass", "g"),
          quantityWords(dribble.partner, "mass", "g"),
        ],
      ],
    },
    {
      title: "Chamber, at the nominal values",
      columns: ["what", "value"],
      rows: [
        ["ignition", milliseconds(start.ignites)],
        ["nine tenths of its pressure", milliseconds(start.rises)],
        ["pressure at the end", quantityWords(start.pressure, "pressure")],
        ["unburnt mass burnt at once, at most", quantityWords(start.burntAtOnce, "pressure")],
        ["mixture ratio at the end", ratio(start.endRatio)],
        ["fuel below a tenth after the oxidiser, in a stop", milliseconds(figures.nominal.stop)],
        ["chamber pressure at the end of the stop", quantityWords(stop.pressure, "pressure")],
      ],
    },
    ...(offsets.length === 0
      ? []
      : [
          {
            title: "Command of the other valve after this one's",
            columns: ["offset", "samples that keep box, lead and unburnt mass"],
            rows: offsets.map(({ offset_s, inside }) => [
              valueWords(offset_s, undefined, "time", "ms"),
              percentWords(inside),
            ]),
          },
        ]),
    {
      title: "What fails, at the nominal values",
      columns: ["case", "ignition", "unburnt", "burnt at once, at most", "mixture ratio"],
      rows: failed.map(({ words, run }) => [
        words,
        milliseconds(run.ignites),
        quantityWords(run.unburnt, "mass", "g"),
        run.oxidiser.unburnt > 0 && run.fuel.unburnt > 0
          ? quantityWords(run.burntAtOnce, "pressure")
          : "not worked out: one alone",
        run.ignites === undefined ? "none" : `${ratio(run.leastRatio)} to ${ratio(run.mostRatio)}`,
      ]),
    },
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
