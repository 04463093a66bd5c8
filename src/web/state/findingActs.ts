/** What a person does with runs: hold them against the prediction, accept or refuse, seal, move an event. */
import type { Proposal } from "../../evidence/index.js";
import { begin, findEvents, say } from "./testActs.js";
import { faultsOf, moveEvent, type ReconcileResult, resultIn, type WorkState } from "./testCalls.js";
import { type FindingAsked, type ShownFinding, testBench } from "./tests.js";
import { workbench } from "./workbench.js";

const set = testBench.setState;
const get = testBench.getState;

/** Chooses a run, or lets it go. */
export function chooseRun(id: string, isChosen: boolean): void {
  const others = get().chosen.filter((one) => one !== id);
  set({ chosen: isChosen ? [...others, id] : others });
}

/** Shows a run over the one that is looked at, or no more. */
export function showOver(id: string, isShown: boolean): void {
  const others = get().over.filter((one) => one !== id);
  set({ over: isShown ? [...others, id] : others });
}

/** Holds runs against the prediction. */
export async function holdRuns(asked: FindingAsked): Promise<void> {
  const base = workbench.getState().base["valve.yaml"]?.sha256 ?? "";
  set({ finding: undefined });
  const { sample, ...rest } = asked;
  const begun = await begin(
    "/api/reconcile",
    { ...rest, ...(sample ? { sample } : {}) },
    `holding ${asked.runs.join(", ")} against the prediction`,
    "hold",
  );
  const result = ended(await begun?.end);
  if (result === undefined) return;
  // Nothing is accepted or refused until a person says so.
  const finding = { asked, base, result: result as ReconcileResult };
  set({ finding: { ...finding, decided: {}, althoughItDoesNotStand: false } });
  say("The runs are held against the prediction; what it proposes stands below.");
}

/** The result of ended work; its faults are shown. */
function ended(state: WorkState | undefined): unknown {
  if (state?.state !== "ended") return undefined;
  set({ faults: state.faults });
  return resultIn(state.record) ?? undefined;
}

/** The values that are proposed: by all runs together where there are several, else by the one. */
export function proposalsIn({ result }: ShownFinding): readonly Proposal[] {
  return result.joint !== null && result.runs.length > 1
    ? result.joint.proposals
    : (result.runs[0]?.proposals ?? []);
}

/** Accepts or refuses one proposed value; the same again takes it back. */
export function decide(path: string, choice: "accept" | "refuse"): void {
  const { finding } = get();
  if (finding === undefined) return;
  const { [path]: before, ...others } = finding.decided;
  set({ finding: { ...finding, decided: before === choice ? others : { ...others, [path]: choice } } });
}

/** Says that values are wanted although their update does not stand. */
export function wantAlthough(althoughItDoesNotStand: boolean): void {
  const { finding } = get();
  if (finding !== undefined) set({ finding: { ...finding, althoughItDoesNotStand } });
}

/** Writes the accepted values into the valve file, all in one call: a test counts once. */
export async function writeAccepted(): Promise<void> {
  const { finding } = get();
  if (finding === undefined) return;
  const { asked, base, decided, althoughItDoesNotStand } = finding;
  const inputs = Object.keys(decided).filter((path) => decided[path] === "accept");
  const { sample, ...rest } = asked;
  const begun = await begin(
    "/api/accept",
    {
      ...{ ...rest, inputs, base },
      ...(sample ? { sample } : {}),
      ...(althoughItDoesNotStand ? { althoughItDoesNotStand } : {}),
    },
    "writing the accepted values",
    "accept",
  );
  const result = ended(await begun?.end);
  if (result === undefined || (result as ReconcileResult).accepted === null) return;
  set({ finding: undefined });
  say(`Written into valve.yaml: ${inputs.join(", ")}.`);
}

/** Seals the prediction of a case. */
export async function sealCase(caseId: string): Promise<void> {
  const begun = await begin("/api/seal", { case: caseId }, `sealing the prediction of ${caseId}`, "seal");
  if (ended(await begun?.end) !== undefined) say(`The prediction of ${caseId} is sealed.`);
}

/** Moves an event by hand, or takes the move back, and finds what follows from it. @returns whether it is kept */
export async function keepMove(
  run: string,
  move: {
    readonly event: string;
    readonly time_s: number | null;
    readonly who: string;
    readonly why: string;
  },
): Promise<boolean> {
  set({ faults: [], faultsAt: run });
  const path = `runs/${run}/run.yaml`;
  const base = workbench.getState().base[path]?.sha256 ?? "";
  try {
    if (await moveEvent(run, { base, ...move })) {
      await findEvents(run);
      return true;
    }
    const found = `${path} was changed meanwhile`;
    const allowed = "A move is written into the file that was shown.";
    const mend = "Look at what came in, then move the event again";
    set({ faults: [{ code: "file-changed", where: { file: path }, found, allowed, mend }] });
  } catch (thrown) {
    set({ faults: faultsOf(thrown) });
  }
  return false;
}
