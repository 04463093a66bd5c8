/** What the checks of the torque's path are. */
import type { CheckDefinition } from "./check.js";

const torsionAlone =
  "Torsion alone: bending by a coupling out of line, a side load or the weight of the drive is not in it.";
const strengths =
  "Strengths of a material on file are typical values with their spread, not minima; a certificate at temperature replaces them.";
const rotorHeld =
  "Locked rotor: the greatest current that limit or voltage allow, the gears at their efficiency, no friction that helps the parts.";

export const torsionDefinition: CheckDefinition = {
  id: "stem-shear",
  designChecks: ["stem-shear"],
  failureModes: ["stem-break"],
  name: "Stem torsion",
  dimension: "ratio",
  equation:
    "MS = min(sigma_y / (sqrt(3) FS_y tau), k_u sigma_u / (FS_u tau)) - 1 >= 0, tau = K_ts T / W, the worst of locked rotor, jam and strokes",
  source:
    "nasa-std-5001b, form of the margin; roark-2002, table 10.1; moore-1909; pilkey-2008, concentration; from memory",
  assumptions: [torsionAlone, strengths, rotorHeld],
};

export const fatigueDefinition: CheckDefinition = {
  id: "stem-fatigue",
  designChecks: ["stem-fatigue"],
  failureModes: ["stem-break"],
  name: "Stem cycles",
  dimension: "ratio",
  equation:
    "1/n = sqrt(3) K_ts tau_a / S_f(N) + sqrt(3) K_ts tau_m / S_ut, N = life factor x cycles, S_e = k_a k_b (S_e'/S_ut) S_ut; n >= 1",
  source: "budynas-nisbett-2011, sec. 6-7 to 6-9 and eq. 7-7",
  assumptions: [
    "Each cycle swings from the greatest torque of an opening to that of a closing; the notch counts in full.",
    "Jams and locked rotors are rare and not counted as cycles; corrosion and fretting are not in it.",
  ],
};

export const flawDefinition: CheckDefinition = {
  id: "stem-flaw",
  designChecks: [],
  failureModes: ["stem-break"],
  name: "Stem with a flaw",
  dimension: "ratio",
  equation:
    "K_c / (FS_u K) >= 1, K = 1.12 sigma sqrt(pi a / Q), sigma the tension at 45 deg, equal to K_ts tau, under the worst load",
  source: "anderson-2005, sec. 2.6; newman-raju-1981, from memory",
  assumptions: [
    "The declared flaw lies across that tension at the worst place of each section; the factor is that against rupture.",
  ],
};

export const bearingDefinition: CheckDefinition = {
  id: "tang-bearing",
  designChecks: ["tang-bearing"],
  failureModes: ["stem-break"],
  name: "Bearing pressure",
  dimension: "ratio",
  equation:
    "MS = sigma_y / (FS_y p) - 1 >= 0; tongue p = 6 T/(L b^2), square 3 T/(L a^2), two flats 6 T/(L c^2); key 2 T/(n d t L) in the shaft, 2 T/(n d (h - t) L) in the hub; pin 6 T/(a d^2), 4 T/(a (D^2 - d^2)); spline 2 T/(D z k h L); each on the weaker of the two that meet there",
  source: "statics, derived in docs/theory/strength.md; budynas-nisbett-2011, example 7-6",
  assumptions: [
    "Faces bear along their whole length, without clearance; play concentrates the pressure at the edge. A key bears in shaft and hub by what of its height h stands there, t and h - t; where no depth of its keyway t is declared, by half. Of several keys n counts three quarters of each.",
    strengths,
    rotorHeld,
  ],
};

export const jointDefinition: CheckDefinition = {
  id: "coupling",
  designChecks: ["coupling"],
  failureModes: ["stem-break"],
  name: "Coupling, pins, keys",
  dimension: "ratio",
  equation:
    "MS = T_borne / T - 1 >= 0; key T_borne = tau n d w L/2, pin tau pi a^2 d/4, spline tau D z k t L/2, tau = sigma_y / (sqrt(3) FS_y); coupling and set screw as rated",
  source: "budynas-nisbett-2011, example 7-6 and sec. 7-7; catalogue ratings as declared",
  assumptions: [rotorHeld, "Shear of teeth, keys and pins is taken as even over their section."],
};

export const ratedDefinition: CheckDefinition = {
  id: "gear-rated",
  designChecks: [],
  failureModes: ["gear-damage"],
  name: "Gear torque while turning",
  dimension: "ratio",
  equation:
    "rated torque / T_j - 1 >= 0; T of the last stage = greatest slow torque at the stem, T_j = T_(j+1) / (n_(j+1) eta_(j+1)) + no-load torque of j+1",
  source: "catalogue ratings as declared",
  assumptions: ["Friction and the flow's torque in whichever sense resists, without breakaway."],
};

export const repeatedDefinition: CheckDefinition = {
  id: "gear-repeated",
  designChecks: ["gear-peak"],
  failureModes: ["gear-damage"],
  name: "Gear peak torque of each stroke",
  dimension: "ratio",
  equation: "peak torque allowed / greatest torque of opening and closing - 1 >= 0",
  source: "catalogue ratings as declared; peaks derived in docs/theory/compliant.md",
  assumptions: ["The peaks of each opening and closing, the hit at the stop among them."],
};

export const momentaryDefinition: CheckDefinition = {
  id: "gear-peak",
  designChecks: ["gear-peak"],
  failureModes: ["gear-damage"],
  name: "Gear peak torque",
  dimension: "ratio",
  equation: "momentary torque allowed / max(locked rotor, jam, opening, closing) - 1 >= 0",
  source: "catalogue ratings as declared; peaks derived in docs/theory/compliant.md",
  assumptions: [rotorHeld, "How often the momentary torque may come is for the gear's maker to say."],
};

export const stopDefinition: CheckDefinition = {
  id: "stop-impact",
  designChecks: ["stop-impact"],
  failureModes: ["gear-damage"],
  name: "End stop impact",
  dimension: "ratio",
  equation:
    "momentary torque of the stop / greatest torque in it - 1 >= 0, the rotor reflected through the gears",
  source: "derived in docs/theory/compliant.md; limit T + sqrt(T^2 + k J w^2), energy method",
  assumptions: ["The stem, gears and coupling at the same hit are judged in their own checks."],
};

export const toughnessDefinition: CheckDefinition = {
  id: "impact-toughness",
  designChecks: ["charpy"],
  failureModes: ["stem-break"],
  name: "Impact toughness",
  dimension: "length",
  equation: "lateral expansion at or below the temperature of the part >= least",
  source: "asme-b31.3-2016, 323.3.5, from memory",
  assumptions: ["The Charpy test was of the heat and condition that the part is made of."],
};

export const brittleDefinition: CheckDefinition = {
  id: "torque-path-material",
  designChecks: ["min-temp-material"],
  failureModes: ["stem-break"],
  name: "Materials on the path of the torque",
  dimension: "number",
  equation:
    "number of parts whose metal may be brittle at their temperature, accepted by nobody: below its transition, or not face-centred cubic with no transition on file",
  source: "asme-b31.3-2016, 323.2.2; reed-clark-1983, embrittlement rule; structures as in data/solids",
  assumptions: ["Sections and joints as declared; a part that nobody declared is not looked at."],
};

export const currentDefinition: CheckDefinition = {
  id: "current-limit",
  designChecks: [],
  failureModes: ["gear-damage", "stem-break"],
  name: "Current limit for margin and strength together",
  dimension: "current",
  equation:
    "least i with the torque margin >= 0 <= i_limit <= largest i with MS >= 0 of every part at locked rotor, jam and strokes",
  source:
    "derived in docs/theory/strength.md; margin as torque-margin or motorisation, strength as stem-shear",
  assumptions: [
    "Of jam and strokes: where they overload a part at the declared limit, the largest smaller one at which they do not, at the nominal values; a limit above the declared one needs a look at their checks again.",
  ],
};
