export { type CardsContent, cardsHtml } from "./cards.js";
export { pageColours } from "./colours.js";
export {
  changedSince,
  compareSheets,
  type Difference,
  isSame,
  type SheetComparison,
  type Since,
  sinceWords,
} from "./compare.js";
export type { HashedFile, SheetContent, SheetRun } from "./content.js";
export { noteHtml } from "./note.js";
export { type PrintOptions, printSource } from "./print/print.js";
export { readSheetRecord, recordTextIn, type SheetRecord } from "./record.js";
export { sheetHtml, sheetPrintSource } from "./sheet.js";
