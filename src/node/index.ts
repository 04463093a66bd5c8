/** The library for Node alone: what `import ... from "coldturn/host"` gives. */
export { type FolderManner, type FolderProgress, predictFolder, readFolder } from "./folder.js";
