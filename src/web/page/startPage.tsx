/** Puts the page in its place and loads the dossier. */
import { createRoot } from "react-dom/client";
import "./base.css";
import { start } from "../state/disk.js";
import type { Ports } from "../state/schedule.js";
import { Bench } from "./Bench.js";
import { wearTheme } from "./theme.js";

/** @param ports of the workers, which load meanwhile */
export function startPage(ports: Ports): void {
  const place = document.getElementById("page");
  if (place === null) throw new Error("the page has no place to stand in");
  wearTheme();
  createRoot(place).render(<Bench />);
  void start(ports);
}
