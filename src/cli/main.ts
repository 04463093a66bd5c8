#!/usr/bin/env node
import { runCommandLine } from "./run.js";

await runCommandLine(process.argv.slice(2));
