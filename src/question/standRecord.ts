/** What question 12 says of requirements and waivers, as records that every shell prints. */
import type { Verdict } from "./check.js";

/** One piece of evidence for a check. */
export interface EvidenceItem {
  readonly kind: "predicted" | "sealed" | "tested" | "reconciled" | "inspected";
  /** With run and conditions, as a person reads it. */
  readonly words: string;
  readonly run?: string;
  /** Of a test under other conditions: it says nothing of these by itself. */
  readonly isElsewhere?: true;
}

/** `stands` counts; the others do not. `not needed`: the check holds. */
export type WaiverState = "stands" | "expired" | "stale" | "faulty" | "unmatched" | "not needed";

/** One waiver as it stands. */
export interface Waiver {
  readonly check: string;
  /** Name of the check, where one was found. */
  readonly name: string | undefined;
  readonly waived: { readonly verdict: string; readonly value: string };
  readonly reason: string;
  readonly who: string;
  readonly date: string;
  readonly expires: string;
  readonly state: WaiverState;
  /** Why it does not count; "" where it does. */
  readonly why: string;
  readonly line: number | undefined;
}

/** A check as it serves a requirement; numbers in words, those of the check itself are SI. */
export interface ServingCheck {
  readonly id: string;
  readonly name: string;
  /** Number of its question, and its place there counted from 0: what a link needs. */
  readonly question: number;
  readonly index: number;
  readonly verdict: Verdict;
  /** Value and band, or what was found instead, or what it needs. */
  readonly value: string;
  readonly band: string;
  readonly limit: string;
  readonly margin: string;
  readonly evidence: readonly EvidenceItem[];
  /** What is open; none where nothing is. */
  readonly open: readonly string[];
  readonly owner: string;
  readonly waiver: Waiver | undefined;
}

/** One requirement. */
export interface Requirement {
  /** Field that states it; undefined for the rules of a question. */
  readonly field: string | undefined;
  readonly name: string;
  /** As typed in the file; "" for rules. */
  readonly asked: string;
  readonly verdict: Verdict;
  readonly checks: readonly ServingCheck[];
}
