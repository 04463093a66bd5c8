/**
 * How a role looks: colour in light and dark, and besides it a dash, a bead, a hatch or a letter, so
 * that a figure printed in grey or read by a colour-blind reader says the same. What was measured is
 * ink with hollow beads; what was computed has colour; a limit has teeth on its forbidden side.
 */
import type { Role } from "./role.js";

/** A colour for light and for dark surroundings, as #rrggbb. */
export interface Colour {
  readonly light: string;
  readonly dark: string;
}

/** The small shapes a point or a bead can have. */
export type Bead = "ring" | "disc" | "half disc" | "cross" | "square" | "triangle";

/** The look of one role. */
export interface RoleStyle {
  readonly colour: Colour;
  /** Stroke dash of the first line of this role in a figure, of the second, and so on round again. */
  readonly dashes: readonly string[];
  readonly lineWidth: number;
  /** Shape of points of this role. */
  readonly bead: Bead;
  /** Whether lines of this role carry beads. */
  readonly beaded: boolean;
  /** Whether areas of this role are hatched on top of their tint. */
  readonly hatched: boolean;
  /** Letters for a terminal: first, second, ... series of this role. */
  readonly glyphs: readonly string[];
  /** The same within ASCII. */
  readonly plainGlyphs: readonly string[];
  /** Terminal colour (SGR code), used only when colour is asked for. */
  readonly terminalColour: number;
}

const solidFirst = ["", "11 5", "3 4"] as const;
const dashedFirst = ["13 5", "3 4", ""] as const;

/** The look of every role. */
export const roleStyles: Readonly<Record<Role, RoleStyle>> = {
  prediction: {
    colour: { light: "#1a4fa0", dark: "#8fbcff" },
    dashes: solidFirst,
    lineWidth: 2.75,
    bead: "disc",
    beaded: false,
    hatched: false,
    glyphs: ["•", "▪", "∙"],
    plainGlyphs: ["*", "x", "w"],
    terminalColour: 94,
  },
  measurement: {
    colour: { light: "#16212b", dark: "#f3f5f6" },
    dashes: solidFirst,
    lineWidth: 2,
    bead: "ring",
    beaded: true,
    hatched: false,
    glyphs: ["○", "◎", "◌"],
    plainGlyphs: ["o", "0", "q"],
    terminalColour: 97,
  },
  limit: {
    colour: { light: "#8f1246", dark: "#ff9cbb" },
    dashes: ["14 3 2 3", "9 3", "2 3"],
    lineWidth: 2.25,
    bead: "square",
    beaded: false,
    hatched: true,
    glyphs: ["╌", "┄", "┈"],
    plainGlyphs: ["-", "=", "_"],
    terminalColour: 95,
  },
  demand: {
    colour: { light: "#5e3596", dark: "#ccb0ff" },
    dashes: solidFirst,
    lineWidth: 2.75,
    bead: "square",
    beaded: true,
    hatched: false,
    glyphs: ["■", "▣", "□"],
    plainGlyphs: ["#", "d", "m"],
    terminalColour: 35,
  },
  available: {
    colour: { light: "#00695c", dark: "#66d9c5" },
    dashes: dashedFirst,
    lineWidth: 2.75,
    bead: "triangle",
    beaded: false,
    hatched: false,
    glyphs: ["△", "▽", "◇"],
    plainGlyphs: ["+", "v", "a"],
    terminalColour: 36,
  },
  band: {
    colour: { light: "#4a6785", dark: "#a5bdd6" },
    dashes: ["2 4", "7 4", ""],
    lineWidth: 1.75,
    bead: "disc",
    beaded: false,
    hatched: false,
    glyphs: ["~", "≈", "≋"],
    plainGlyphs: [",", "`", ";"],
    terminalColour: 34,
  },
  better: {
    colour: { light: "#006a7d", dark: "#6fd3ea" },
    dashes: solidFirst,
    lineWidth: 2.5,
    bead: "disc",
    beaded: true,
    hatched: false,
    glyphs: ["▲", "⇑", "↑"],
    plainGlyphs: ["^", "b", "g"],
    terminalColour: 96,
  },
  doubtful: {
    colour: { light: "#8a6a00", dark: "#f0d050" },
    dashes: ["10 3 5 3", "5 2", ""],
    lineWidth: 2.5,
    bead: "half disc",
    beaded: false,
    hatched: false,
    glyphs: ["◐", "◑", "◒"],
    plainGlyphs: ["t", "h", "i"],
    terminalColour: 93,
  },
  worse: {
    colour: { light: "#9c1c1c", dark: "#ff9a66" },
    dashes: ["8 3 2 3", "4 3", ""],
    lineWidth: 2.5,
    bead: "cross",
    beaded: false,
    hatched: true,
    glyphs: ["▼", "⇓", "↓"],
    plainGlyphs: ["!", "y", "z"],
    terminalColour: 91,
  },
  neutral: {
    colour: { light: "#4b5761", dark: "#b7c1ca" },
    dashes: ["6 4", "2 4", "", "10 3 2 3", "1 7", "12 8"],
    lineWidth: 2,
    bead: "square",
    beaded: false,
    hatched: false,
    glyphs: ["+", "×", "¤", "∘", "†", "‡"],
    plainGlyphs: ["%", "s", "n", "u", "r", "k"],
    terminalColour: 37,
  },
};

/** Every role, in the order of the style sheet. */
export const roles: readonly Role[] = [
  "prediction",
  "measurement",
  "limit",
  "demand",
  "available",
  "band",
  "better",
  "doubtful",
  "worse",
  "neutral",
];

/** The colours that are not roles: the surface and what is written or ruled on it. */
export const surface = {
  paper: { light: "#fbfaf6", dark: "#12191f" },
  ink: { light: "#16212b", dark: "#f3f5f6" },
  quiet: { light: "#46525d", dark: "#bcc6ce" },
  rule: { light: "#dcd9cf", dark: "#2d3841" },
} as const satisfies Readonly<Record<string, Colour>>;

/** A name that the style sheet of a picture knows: a role or a part of the surface. */
export type Paint = Role | keyof typeof surface;

/** The colour behind each name. */
export const paints: Readonly<Record<Paint, Colour>> = {
  ...surface,
  prediction: roleStyles.prediction.colour,
  measurement: roleStyles.measurement.colour,
  limit: roleStyles.limit.colour,
  demand: roleStyles.demand.colour,
  available: roleStyles.available.colour,
  band: roleStyles.band.colour,
  better: roleStyles.better.colour,
  doubtful: roleStyles.doubtful.colour,
  worse: roleStyles.worse.colour,
  neutral: roleStyles.neutral.colour,
};

/** The entry of a role's list of dashes or letters for its nth series in a figure, counted from 0. */
export function inTurn(list: readonly string[], nth: number): string {
  return list[nth % list.length] ?? "";
}
