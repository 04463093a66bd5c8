// The import directions of the architecture (docs/architecture.md): a folder may import the
// folders named behind it and nothing else. No exclusions: a rule with a hole describes history.
const may = {
  fault: [],
  quantity: ["fault"],
  numerics: ["fault"],
  substance: ["fault", "quantity", "numerics"],
  picture: ["fault", "quantity", "numerics"],
  physics: ["fault", "quantity", "numerics", "substance"],
  dossier: ["fault", "quantity", "numerics", "substance", "physics"],
  predict: ["fault", "quantity", "numerics", "substance", "physics", "dossier"],
  evidence: ["fault", "quantity", "numerics", "substance", "picture", "physics", "dossier", "predict"],
  question: [
    "fault",
    "quantity",
    "numerics",
    "substance",
    "picture",
    "physics",
    "dossier",
    "predict",
    "evidence",
  ],
  note: [
    "fault",
    "quantity",
    "numerics",
    "substance",
    "picture",
    "physics",
    "dossier",
    "predict",
    "evidence",
    "question",
  ],
  seek: [
    "fault",
    "quantity",
    "numerics",
    "substance",
    "picture",
    "physics",
    "dossier",
    "predict",
    "evidence",
    "question",
  ],
  sheet: [
    "fault",
    "quantity",
    "numerics",
    "substance",
    "picture",
    "physics",
    "dossier",
    "predict",
    "evidence",
    "question",
    "note",
  ],
};
const core = Object.keys(may);
may.host = [...core];
may.server = [...core, "host"];
// The command line starts the server: `coldturn serve`.
may.cli = [...core, "host", "server"];
may.web = [...core];
// The library: what others import. `api` runs wherever the core runs, `node` adds folders and threads.
may.api = [...core];
may.node = [...core, "host", "api"];
const folders = Object.keys(may);
/** Folders whose code may read files of data/. */
const readsData = ["substance", "dossier", "sheet"];

const directions = folders.map((folder) => ({
  name: `imports-of-${folder}`,
  comment: `${folder} may import only: ${may[folder].join(", ") || "nothing of src"}`,
  severity: "error",
  from: { path: `^src/${folder}/` },
  to: { path: "^src/", pathNot: [folder, ...may[folder]].map((f) => `^src/${f}/`) },
}));

module.exports = {
  forbidden: [
    ...directions,
    { name: "no-circular", severity: "error", from: {}, to: { circular: true } },
    { name: "no-unresolvable", severity: "error", from: {}, to: { couldNotResolve: true } },
    {
      name: "public-face-only",
      comment: "another folder is reached through its index.ts",
      severity: "error",
      from: { path: "^src/([^/]+)/" },
      to: {
        path: "^src/([^/]+)/",
        pathNot: ["^src/$1/", "^src/[^/]+/index\\.ts$", "^src/physics/[^/]+/index\\.ts$"],
      },
    },
    {
      name: "physics-sisters-apart",
      comment: "a matter of physics declares what it needs; predict wires the matters together",
      severity: "error",
      from: { path: "^src/physics/([^/]+)/" },
      to: { path: "^src/physics/", pathNot: "^src/physics/$1/" },
    },
    {
      name: "core-is-pure",
      comment: "the core runs in Node, in a worker and in a browser: no I/O",
      severity: "error",
      from: { path: `^src/(${[...core, "api"].join("|")})/` },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "data-readers",
      severity: "error",
      from: { path: "^src/", pathNot: `^src/(${readsData.join("|")})/` },
      to: { path: "^data/" },
    },
    {
      name: "nothing-imports-demo-or-bench",
      severity: "error",
      from: { path: "^src/" },
      to: { path: "^(demo|bench|test|tools)/" },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "require", "node", "default", "types"],
    },
  },
};
