/** The classes of the pages of tests. */
export { default as own } from "./tests.module.css";
