/** Which model makes the numbers. */
import { modelVersion as present } from "../predict/index.js";

/** Version of the model; it rises with every change that moves a number. */
export const modelVersion: string = present;
