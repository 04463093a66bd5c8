/**
 * All of the evidence layer under a name of its own, so that the bundle keeps it apart from the few
 * functions of the layer that every command needs.
 */
export * from "../evidence/index.js";
