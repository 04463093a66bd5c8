export { type BenchTest, type BenchValue, benchTest } from "./benchTest.js";
export { type Decision, type NextTests, nextTests, type RatedTest, type UnratedTest } from "./nextTest.js";
