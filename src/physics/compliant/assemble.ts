/**
 * Bodies and links of a train from its parts: rotor, gear stages, coupling, stem, ball.
 *
 * A stage's inertia stands at its input, its spring and backlash at its output. What has no inertia of its own
 * between two springs joins them in series,
 *
 *   1/k = 1/k_b + 1/(k_a n_b^2),   b = b_b + b_a/n_b,
 *
 * a ahead of b. So does, where `detail` asks for it, a body that is light against all that swings: its inertia then
 * turns with the neighbour it is held to more stiffly. The torque of a joined element follows from that of its
 * link by the gears between them. What that leaves out is measured in docs/theory/compliant.md.
 *
 * Source: springs and gears in series, textbook statics [leonhard-2001].
 */
import type { Angle, AngularDamping, AngularStiffness, Inertia, Torque } from "../../quantity/index.js";
import type { Body, Link } from "./train.js";

export interface StageParts {
  /** Input speed over output speed, > 0, and shares of power as of the rigid train's stages. */
  readonly ratio: number;
  readonly efficiency: number;
  readonly startingEfficiency: number;
  readonly backEfficiency: number;
  /** At the input. */
  readonly noLoadTorque: Torque;
  readonly inertia: Inertia;
  /** At the output. */
  readonly stiffness: AngularStiffness;
  readonly backlash: Angle;
}

export interface TrainParts {
  readonly rotorInertia: Inertia;
  readonly motorFriction: Torque;
  readonly stages: readonly StageParts[];
  readonly coupling: { readonly stiffness: AngularStiffness; readonly backlash: Angle };
  readonly stemStiffness: AngularStiffness;
  /** Ahead of the coupling's spring, 0 where all turns with the ball; > 0 for a stop there. */
  readonly couplingInertia: Inertia;
  /** Ball and stem, and the rest of the coupling; > 0. */
  readonly ballInertia: Inertia;
  /** Share of critical damping of each link between what it joins, >= 0 [-]. */
  readonly dampingRatio: number;
  readonly stopAt: "stem" | "gear output";
}

/** Where the torque of an element is read. */
export interface TorqueElement {
  readonly element: ElementKind;
  /** Of a stage, counted from the motor. */
  readonly stage: number;
  readonly link: number;
  /** Torque of the element per torque of the link while the motor side drives, and while it is driven [-]. */
  readonly driving: number;
  readonly driven: number;
  /** What the friction of a body between adds while the motor side drives [N m]. */
  readonly added: number;
}
export type ElementKind = "motor" | "stage" | "coupling" | "stem";

export interface AssembledTrain {
  readonly bodies: readonly Body[];
  readonly links: readonly Link[];
  readonly elements: readonly TorqueElement[];
  /** Body that a soft stop acts on. */
  readonly stopBody: number;
}

/** `every`: each body that has inertia; `light joined`: without those that are light. */
export type Detail = "every" | "light joined";

/** A body of less than this share of what turns with the motor, both at the stem, is light [-]. */
const lightShare = 0.1;

interface Node {
  inertia: number;
  friction: number;
  readonly isStop: boolean;
}

interface Span {
  ratio: number;
  efficiency: number;
  startingEfficiency: number;
  backEfficiency: number;
  stiffness: number;
  backlash: number;
  elements: Omit<TorqueElement, "link">[];
}

/** Puts a train together. */
export function assembleTrain(parts: TrainParts, detail: Detail): AssembledTrain {
  const nodes = nodesOf(parts);
  const spans = spansOf(parts);
  const isLight = lightness(parts);
  for (let j = nodes.length - 2; j > 0; j--) {
    const node = nodes[j];
    if (node === undefined || node.isStop) continue;
    if (node.inertia === 0 || (detail === "light joined" && isLight(node.inertia, spans, j)))
      join(nodes, spans, j);
  }
  const links = spans.map((span, l) => linkOf(span, l, nodes, spans, parts.dampingRatio));
  return {
    bodies: nodes.map(({ inertia, friction }) => ({
      inertia: inertia as Inertia,
      friction: friction as Torque,
    })),
    links,
    elements: [motorElement(parts, spans), ...elementsOf(spans)],
    stopBody: parts.stopAt === "stem" ? nodes.length - 1 : nodes.findIndex(({ isStop }) => isStop),
  };
}

function nodesOf({
  rotorInertia,
  motorFriction,
  stages,
  couplingInertia,
  ballInertia,
  stopAt,
}: TrainParts): Node[] {
  const inner = stages.slice(1).map(({ inertia, noLoadTorque }) => ({
    inertia: inertia as number,
    friction: noLoadTorque as number,
    isStop: false,
  }));
  const first = stages[0];
  const rotor = {
    inertia: rotorInertia + (first?.inertia ?? 0),
    friction: motorFriction + (first?.noLoadTorque ?? 0),
    isStop: false,
  };
  const output = { inertia: couplingInertia as number, friction: 0, isStop: stopAt === "gear output" };
  // Without stages the coupling stands on the rotor's own shaft.
  if (first === undefined) rotor.inertia += couplingInertia;
  return [
    rotor,
    ...inner,
    ...(first === undefined ? [] : [output]),
    { inertia: 0, friction: 0, isStop: false },
    { inertia: ballInertia, friction: 0, isStop: false },
  ];
}

function spansOf({ stages, coupling, stemStiffness }: TrainParts): Span[] {
  const own = (element: ElementKind, stage = -1) => [{ element, stage, driving: 1, driven: 1, added: 0 }];
  const shaft = { ratio: 1, efficiency: 1, startingEfficiency: 1, backEfficiency: 1 };
  return [
    ...stages.map(
      ({ ratio, efficiency, startingEfficiency, backEfficiency, stiffness, backlash }, j): Span => ({
        ratio,
        efficiency,
        startingEfficiency,
        backEfficiency,
        stiffness,
        backlash,
        elements: own("stage", j),
      }),
    ),
    { ...shaft, ...coupling, elements: own("coupling") },
    { ...shaft, stiffness: stemStiffness, backlash: 0, elements: own("stem") },
  ];
}

function lightness({ rotorInertia, stages }: TrainParts) {
  const ratio = stages.reduce((product, stage) => product * stage.ratio, 1);
  const atStem = rotorInertia * ratio * ratio;
  return (inertia: number, spans: readonly Span[], node: number): boolean => {
    const behind = spans.slice(node).reduce((product, span) => product * span.ratio, 1);
    return inertia * behind * behind < lightShare * atStem;
  };
}

/** Takes a node out: its springs become one, its inertia and friction go to its neighbours. */
function join(nodes: Node[], spans: Span[], j: number): void {
  const before = spans[j - 1];
  const behind = spans[j];
  const ahead = nodes[j - 1];
  const after = nodes[j + 1];
  const node = nodes[j];
  if (
    before === undefined ||
    behind === undefined ||
    ahead === undefined ||
    after === undefined ||
    node === undefined
  )
    return;
  const { ratio } = behind;
  const isHeldAhead = before.stiffness > behind.stiffness / (ratio * ratio);
  if (isHeldAhead && !ahead.isStop) ahead.inertia += node.inertia / (before.ratio * before.ratio);
  else after.inertia += node.inertia * ratio * ratio;
  ahead.friction += node.friction / (before.ratio * before.efficiency);
  const joined: Span = {
    ratio: before.ratio * ratio,
    efficiency: before.efficiency * behind.efficiency,
    startingEfficiency: before.startingEfficiency * behind.startingEfficiency,
    backEfficiency: before.backEfficiency * behind.backEfficiency,
    stiffness: 1 / (1 / behind.stiffness + 1 / (before.stiffness * ratio * ratio)),
    backlash: behind.backlash + before.backlash / ratio,
    elements: [
      ...before.elements.map((element) => ({
        ...element,
        driving: element.driving / (ratio * behind.efficiency),
        driven: (element.driven * behind.backEfficiency) / ratio,
        added: element.added + element.driving * node.friction,
      })),
      ...behind.elements,
    ],
  };
  spans.splice(j - 1, 2, joined);
  nodes.splice(j, 1);
}

function linkOf(
  span: Span,
  l: number,
  nodes: readonly Node[],
  spans: readonly Span[],
  dampingRatio: number,
): Link {
  // Everything before and behind, at the link's output.
  let ahead = 0;
  for (let b = 0; b <= l; b++) {
    const ratio = spans.slice(b, l + 1).reduce((product, one) => product * one.ratio, 1);
    ahead += (nodes[b]?.inertia ?? 0) * ratio * ratio;
  }
  let behind = 0;
  for (let b = l + 1; b < nodes.length; b++) {
    const ratio = spans.slice(l + 1, b).reduce((product, one) => product * one.ratio, 1);
    behind += (nodes[b]?.inertia ?? 0) / (ratio * ratio);
  }
  const reduced = (ahead * behind) / (ahead + behind);
  const { ratio, efficiency, startingEfficiency, backEfficiency, stiffness, backlash } = span;
  return {
    ratio,
    efficiency,
    startingEfficiency,
    backEfficiency,
    stiffness: stiffness as AngularStiffness,
    damping: (2 * dampingRatio * Math.sqrt(stiffness * reduced)) as AngularDamping,
    backlash: backlash as Angle,
  };
}

/** Torque of the motor's shaft where it drives the first stage, or the coupling. */
function motorElement({ stages }: TrainParts, spans: readonly Span[]): TorqueElement {
  const first = spans[0];
  return {
    element: "motor",
    stage: -1,
    link: 0,
    driving: first === undefined ? 1 : 1 / (first.ratio * first.efficiency),
    driven: first === undefined ? 1 : first.backEfficiency / first.ratio,
    added: stages[0]?.noLoadTorque ?? 0,
  };
}

function elementsOf(spans: readonly Span[]): TorqueElement[] {
  return spans.flatMap(({ elements }, link) => elements.map((element) => ({ ...element, link })));
}
