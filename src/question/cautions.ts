/**
 * What can hurt people, question by question. Short, and no instruction: local codes and licensed
 * practice decide.
 */

/** Cautions by the id of a question. */
export const cautions: Readonly<Record<string, readonly string[]>> = {
  flow: [
    "A line that has carried liquid can hold pressure and liquid after the flow has stopped: isolate, vent and prove it empty before anything is opened.",
  ],
  turning: [
    "A motor-driven ball shears what reaches into its port, and stem and coupling catch fingers and sleeves: cut the supply and lock it out before hands come near.",
    "Ice and frost raise the torque without warning; a valve that sticks may let go all at once.",
  ],
  opening: [
    "Keep people out of reach of stem, coupling and line while the drive is powered, also when the valve is believed stuck.",
    "A valve that does not open or close on command needs a second way to reach a stopped stand.",
  ],
  throttling: ["A part opening that is held by a motor is lost with its supply."],
  impact: ["A stop hit at speed can throw parts: stand behind a barrier for the first powered strokes."],
  cold: [
    "Cryogenic liquid and cold metal burn skin and eyes; nitrogen and boil-off displace the air: measure oxygen, wear face and hand protection.",
    "Cold surfaces below the boiling point of air collect liquid that is rich in oxygen.",
  ],
  trapped: [
    "Liquid shut in between two closed elements bursts them as it warms: every such volume needs a relief device laid out by licensed people under local law.",
  ],
  oxygen: [
    "Oxygen systems ignite from particles, compression, friction and grease: materials, lubricants and cleanliness are for an oxygen specialist to accept.",
    "Clean, inspect and record before oxygen is admitted; a test with nitrogen or water shows nothing of ignition.",
  ],
  line: ["A fast closing sends a pressure wave through the line: rate the line and its supports for it."],
  start: ["An engine start is remote business: nobody within the stand's exclusion distance."],
  test: [
    "A test under pressure stores energy, with gas far more than with liquid: pressurise remotely and keep the distance that local codes ask for.",
  ],
  stand: [
    "This is the say of a model. The go for a test belongs to the responsible people on the stand, under local codes and licensed practice.",
  ],
};
