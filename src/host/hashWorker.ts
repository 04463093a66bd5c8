/** A worker thread: hashes the file it was started for, while the database reads it. */
import { parentPort, workerData } from "node:worker_threads";
import { hashHere } from "./hashFile.js";

parentPort?.postMessage(await hashHere(String(workerData)));
