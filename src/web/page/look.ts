/** The classes of the page. */
export { default as css } from "./bench.module.css";
