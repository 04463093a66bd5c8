/** What was predicted, in the records of the library. */
import type { UsedDefault } from "../dossier/index.js";
import type { Notice } from "../fault/index.js";
import { drawSvg, drawText, type Figure, figureCsv } from "../picture/index.js";
import type { Prediction } from "../predict/index.js";
import type { Answer as AnswerRecord } from "../question/index.js";
import type { ValvePrediction } from "./answer.js";
import type { Picture } from "./picture.js";

/** @param notices  of reading the files and of the tests; those of the answers come with them */
export function toldPrediction(
  { model, caseId, options: { seed, samples } }: Prediction,
  defaults: readonly UsedDefault[],
  answers: readonly AnswerRecord[],
  notices: readonly Notice[],
): ValvePrediction {
  return {
    model,
    case: caseId,
    seed,
    samples,
    defaults,
    answers: answers.map(({ figures, ...answer }) => ({ ...answer, pictures: figures.map(pictureOf) })),
    notices,
  };
}

function pictureOf(figure: Figure): Picture {
  return {
    id: figure.id,
    title: figure.title,
    words: figure.words,
    svg: (width = 760) => drawSvg(figure, { width }),
    text: (columns = 100) => drawText(figure, { columns, rows: 24, unicode: true }),
    csv: () => figureCsv(figure),
  };
}
