export { type Decision, type NextTests, nextTests, type RatedTest, type UnratedTest } from "./nextTest.js";
