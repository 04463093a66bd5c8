/** The classes of the page of other parts. */
export { default as own } from "./parts.module.css";
