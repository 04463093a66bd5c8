/** The colours of a page, by the name that its style gives them; those of the verdicts are those of the pictures. */
import { paints, surface } from "../picture/index.js";

export const pageColours = {
  ...surface,
  link: paints.prediction,
  holds: paints.better,
  thin: paints.doubtful,
  fails: paints.worse,
  unknown: paints.neutral,
};
