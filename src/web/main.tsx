/** Starts the page. */
import { createRoot } from "react-dom/client";
import "./page/base.css";
import { Bench } from "./page/Bench.js";
import { wearTheme } from "./page/theme.js";
import { start } from "./state/disk.js";

const place = document.getElementById("page");
if (place === null) throw new Error("the page has no place to stand in");
wearTheme();
createRoot(place).render(<Bench />);
void start();
