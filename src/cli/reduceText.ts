/** What `coldturn reduce` shows, run by run and stroke by stroke. */
import type { FrictionSplit, ReducedQuantity, Reduction } from "../evidence/index.js";
import type { Fault } from "../fault/index.js";
import type { OpenDossier } from "../host/index.js";
import { formatQuantity, formatUncertain, preferredUnit } from "../quantity/index.js";
import { faultsPage, noticeLines } from "./faultsPage.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { tableLines } from "./table.js";

export function reducePage(
  page: Page,
  open: OpenDossier,
  reductions: readonly Reduction[],
  faults: readonly Fault[],
): string {
  return [
    ...paragraph(
      page,
      `${open.dossier.valve.name ?? "A valve without a name"}, file ${open.files.valve.path}`,
    ),
    ...reductions.flatMap((one) => runLines(page, one)),
    ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
  ].join("\n");
}

function runLines(page: Page, reduction: Reduction): readonly string[] {
  const { runId, caseId, strokes, leak, friction, notices } = reduction;
  return [
    "",
    ...paragraph(page, strong(page, `Run ${runId}, case ${caseId}`)),
    ...noticeLines(page, notices),
    ...strokes.flatMap((stroke, k) => strokeLines(page, stroke, k, strokes.length)),
    ...(leak === undefined ? [] : section(page, "Leakage", quantityLines(page, [leak]))),
    ...(friction === undefined ? [] : frictionLines(page, friction)),
  ];
}

type Stroke = Reduction["strokes"][number];

function strokeLines(page: Page, stroke: Stroke, k: number, of: number): readonly string[] {
  const { sense, from_s, to_s, events, times, quantities, torques } = stroke;
  const which = of === 1 ? "" : `Stroke ${k + 1} of ${of}, `;
  const head = `${which}${sense ?? "no motion"}, ${from_s.toFixed(2)} to ${to_s.toFixed(2)} s`;
  return [
    ...section(
      page,
      head.charAt(0).toUpperCase() + head.slice(1),
      tableLines(
        page,
        ["event", "instant", "95 % interval", "how"],
        events.map((event) =>
          event.found
            ? [event.id, seconds(event.time_s), event.interval95_s.map(seconds).join(" to "), howOf(event)]
            : [event.id, "not known", "", event.because],
        ),
      ),
    ),
    "",
    ...quantityLines(page, times),
    "",
    ...quantityLines(page, quantities),
    ...torques.flatMap(({ what, measured, predicted }) =>
      predicted === undefined || !measured.known
        ? []
        : paragraph(
            page,
            `${what === "breakaway" ? "Breakaway" : "Running"} torque as predicted for these conditions: ${newtonMetres(predicted.nominal_Nm)}, 95 % from ${newtonMetres(predicted.low_Nm)} to ${newtonMetres(predicted.high_Nm)}.`,
            "  ",
          ),
    ),
  ];
}

const seconds = (s: number): string => `${s.toFixed(4)} s`;
const newtonMetres = (torque: number): string => formatQuantity(torque, "torque", { unit: "N m" });

/** How an event was found; one moved by hand with the automatic instant beside it. */
function howOf(event: Extract<Stroke["events"][number], { found: true }>): string {
  const { moved } = event;
  if (moved === undefined) return event.how;
  const automatic = moved.automatic.found
    ? `found automatically at ${seconds(moved.automatic.time_s)} (${moved.automatic.how})`
    : `not found automatically: ${moved.automatic.because}`;
  return `${event.how}; ${automatic}`;
}

function quantityLines(page: Page, quantities: readonly ReducedQuantity[]): readonly string[] {
  return tableLines(
    page,
    ["quantity", "value and standard uncertainty", "95 % interval", "uncertain by"],
    quantities.map((one) =>
      one.known
        ? [one.name, valueWords(one), intervalWords(one), driversOf(one)]
        : [one.name, "not known", "", one.because],
    ),
  );
}

type Known = Extract<ReducedQuantity, { known: true }>;

function valueWords({ value, standardUncertainty, dimension }: Known): string {
  const unit = unitOf(value, dimension);
  return standardUncertainty > 0
    ? formatUncertain(value, standardUncertainty, dimension, { unit })
    : formatQuantity(value, dimension, { unit });
}

function unitOf(value: number, dimension: Known["dimension"]): string {
  if (dimension === "time") return "ms";
  if (dimension === "flow coefficient") return "Kv";
  if (dimension === "volume flow") return "mL/min";
  return preferredUnit(value, dimension);
}

function intervalWords({ value, standardUncertainty, interval95, dimension, intervalFrom }: Known): string {
  if (!(standardUncertainty > 0)) return "";
  const unit = unitOf(value, dimension);
  const [low, high] = interval95.map((end) =>
    formatQuantity(end, dimension, { unit, uncertainty: standardUncertainty }),
  );
  return `${low} to ${high}${intervalFrom === "Monte Carlo" ? " (Monte Carlo)" : ""}`;
}

/** Contributions that a line names at most, and the least share of the variance that is named. */
const mostNamed = 2;
const leastNamed = 0.1;

function driversOf({ contributions }: Known): string {
  return contributions
    .filter(({ share }) => share >= leastNamed)
    .slice(0, mostNamed)
    .map(({ name, share }) => `${name} ${Math.round(100 * share)} %`)
    .join(", ");
}

function frictionLines(page: Page, { points, againstSpeed }: FrictionSplit): readonly string[] {
  const torque = (value: number, u: number) =>
    formatUncertain(value, Math.max(u, 1e-6), "torque", { unit: "N m" });
  const speed = againstSpeed.known
    ? `Against speed: ${formatQuantity(againstSpeed.slope, "angular damping")} with a standard uncertainty of ${formatQuantity(againstSpeed.slopeUncertainty, "angular damping")}; the chance of as great a slope without any is ${(100 * againstSpeed.p).toPrecision(2)} %.`
    : `Against speed: not known, ${againstSpeed.because}.`;
  return [
    ...section(
      page,
      "Friction and torque of the fluid, from an opening and a closing at the same angle",
      tableLines(
        page,
        ["opening", "speed", "opening takes", "closing takes", "friction", "fluid, towards closed"],
        points.map((one) => [
          formatQuantity(one.angle_rad, "angle", { unit: "deg", digits: 3 }),
          formatQuantity(one.speed_rad_s, "angular speed", { digits: 3 }),
          newtonMetres(one.opening_Nm),
          newtonMetres(one.closing_Nm),
          torque(one.friction_Nm, one.frictionUncertainty_Nm),
          torque(one.fluid_Nm, one.fluidUncertainty_Nm),
        ]),
      ),
    ),
    ...paragraph(page, speed, "  "),
    ...paragraph(
      page,
      "The strokes must have had the same drop at the same angle; else the halves mix.",
      "  ",
    ),
  ];
}
