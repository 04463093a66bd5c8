/** Starts the page: the worker and the page itself load side by side. */
import { startWorkers } from "./state/workers.js";

const ports = startWorkers();
const { startPage } = await import("./page/startPage.js");
startPage(ports);
