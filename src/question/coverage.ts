/**
 * Which checks serve which consideration and which failure mode of data/checklists: read off what each
 * check declares of itself, in the order of the lists. What no check serves is a gap and says so.
 */
import {
  type DesignCheck,
  type DesignCheckId,
  designChecks,
  type FailureMode,
  type FailureModeId,
  failureModes,
  type Instead,
} from "../dossier/index.js";
import type { Answer } from "./answer.js";
import { type Check, type Verdict, worstOf } from "./check.js";
import { questions } from "./list.js";

/** One check that serves, or several that share its id. */
export interface Serving {
  readonly id: string;
  readonly name: string;
  /** Number of its question. */
  readonly question: number;
  /** Place of the first in the list of that question, from 0. */
  readonly place: number;
  /** The worst of those that are judged. */
  readonly verdict: Verdict;
}

/** A consideration with what serves it; none is a gap. */
export interface CoveredDesign extends DesignCheck {
  readonly id: DesignCheckId;
  readonly servedBy: readonly Serving[];
}

/** A failure mode with what computes something of it; none is a gap. */
export interface CoveredFailure extends FailureMode {
  readonly id: FailureModeId;
  readonly servedBy: readonly Serving[];
}

export interface Coverage {
  readonly design: readonly CoveredDesign[];
  readonly failures: readonly CoveredFailure[];
}

/** @param answers to all questions of one case */
export function coverageOf(answers: readonly Answer[]): Coverage {
  return {
    design: entries(designChecks).map(([id, row]) => ({
      ...row,
      id,
      servedBy: servingOf(answers, (check) => check.designChecks.includes(id)),
    })),
    failures: entries(failureModes).map(([id, row]) => ({
      ...row,
      id,
      servedBy: servingOf(answers, (check) => check.failureModes.includes(id)),
    })),
  };
}

/** What stands in place of a check, in words. */
export function insteadWords({ kind, check, question }: Instead): string {
  if (check !== undefined) return `${kind} of \`${check}\` in the register of hazards`;
  if (question === undefined) return "a row that people write themselves in the register of hazards";
  const number = questions.find(({ id }) => id === question)?.number;
  return `${kind} of question ${number}`;
}

/** By id: a check that is made once for each part is one. */
function servingOf(answers: readonly Answer[], serves: (check: Check) => boolean): readonly Serving[] {
  return answers.flatMap(({ number, checks }) => {
    const own = checks.filter(serves);
    const ids = [...new Set(own.map(({ id }) => id))];
    return ids.map((id): Serving => {
      const same = own.filter((check) => check.id === id);
      const judged = same.filter(({ standing }) => standing === "judged");
      const first = same[0];
      return {
        id,
        name: shared(same.map(({ name }) => name)),
        question: number,
        place: first === undefined ? 0 : checks.indexOf(first),
        verdict: worstOf((judged.length > 0 ? judged : same).map(({ verdict }) => verdict)),
      };
    });
  });
}

/** What several names begin with alike, up to a comma: "Stem torsion" of "Stem torsion, square". */
function shared(names: readonly string[]): string {
  const [first = [], ...rest] = names.map((name) => name.split(", "));
  const count = first.findIndex((part, n) => rest.some((other) => other[n] !== part));
  return (count <= 0 ? first : first.slice(0, count)).join(", ");
}

function entries<Id extends string, Row>(rows: Readonly<Record<Id, Row>>): readonly (readonly [Id, Row])[] {
  const ids = Object.keys(rows).filter((id): id is Id => Object.hasOwn(rows, id));
  return ids.map((id) => [id, rows[id]]);
}
