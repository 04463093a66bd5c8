export type { Series } from "./series.js";
export { type SeriesReport, seriesOf } from "./seriesOf.js";
