export type { CheckNote, NoteInput, NoteLine, NotePart, Origin, QuestionNote } from "./note.js";
export { type NotedAnswer, notesOf } from "./notesOf.js";
export { noteNumber } from "./number.js";
export {
  answerWords,
  disagreementWords,
  howToRead,
  type NoteHead,
  noteText,
  numbersIn,
} from "./text.js";
export type { NoteCase } from "./workings.js";
