export { type CardsContent, cardsHtml } from "./cards.js";
export { pageColours } from "./colours.js";
export type { HashedFile, SheetContent, SheetRun } from "./content.js";
export { noteHtml } from "./note.js";
export { sheetHtml } from "./sheet.js";
