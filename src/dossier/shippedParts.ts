/** The generic parts that are shipped: typical classes of motors, stages, seats, valves and batteries. */
import batteryLeadAcid24v from "../../data/parts/battery-lead-acid-24v.json" with { type: "json" };
import batteryLithiumIon6s from "../../data/parts/battery-lithium-ion-6s.json" with { type: "json" };
import batteryLithiumIon7s from "../../data/parts/battery-lithium-ion-7s.json" with { type: "json" };
import batteryLithiumIronPhosphate8s from "../../data/parts/battery-lithium-iron-phosphate-8s.json" with {
  type: "json",
};
import motorBrushed30w from "../../data/parts/motor-brushed-30w.json" with { type: "json" };
import motorBrushed60w from "../../data/parts/motor-brushed-60w.json" with { type: "json" };
import motorBrushed150w from "../../data/parts/motor-brushed-150w.json" with { type: "json" };
import motorBrushless50w from "../../data/parts/motor-brushless-50w.json" with { type: "json" };
import motorBrushless100w from "../../data/parts/motor-brushless-100w.json" with { type: "json" };
import motorBrushless200w from "../../data/parts/motor-brushless-200w.json" with { type: "json" };
import motorBrushless400w from "../../data/parts/motor-brushless-400w.json" with { type: "json" };
import seatPctfe from "../../data/parts/seat-pctfe.json" with { type: "json" };
import seatPtfe from "../../data/parts/seat-ptfe.json" with { type: "json" };
import seatPtfeGlass from "../../data/parts/seat-ptfe-glass.json" with { type: "json" };
import stageCycloidal1570mm from "../../data/parts/stage-cycloidal-15-70mm.json" with { type: "json" };
import stageCycloidal3070mm from "../../data/parts/stage-cycloidal-30-70mm.json" with { type: "json" };
import stageCycloidal3085mm from "../../data/parts/stage-cycloidal-30-85mm.json" with { type: "json" };
import stagePlanetary542mm from "../../data/parts/stage-planetary-5-42mm.json" with { type: "json" };
import stagePlanetary560mm from "../../data/parts/stage-planetary-5-60mm.json" with { type: "json" };
import stagePlanetary580mm from "../../data/parts/stage-planetary-5-80mm.json" with { type: "json" };
import stagePlanetary1042mm from "../../data/parts/stage-planetary-10-42mm.json" with { type: "json" };
import stagePlanetary1060mm from "../../data/parts/stage-planetary-10-60mm.json" with { type: "json" };
import stagePlanetary1080mm from "../../data/parts/stage-planetary-10-80mm.json" with { type: "json" };
import stageSpur3 from "../../data/parts/stage-spur-3.json" with { type: "json" };
import stageStrainWave5060mm from "../../data/parts/stage-strain-wave-50-60mm.json" with { type: "json" };
import stageStrainWave5070mm from "../../data/parts/stage-strain-wave-50-70mm.json" with { type: "json" };
import stageStrainWave10060mm from "../../data/parts/stage-strain-wave-100-60mm.json" with { type: "json" };
import stageStrainWave10070mm from "../../data/parts/stage-strain-wave-100-70mm.json" with { type: "json" };
import stageWorm10 from "../../data/parts/stage-worm-10.json" with { type: "json" };
import stageWorm30 from "../../data/parts/stage-worm-30.json" with { type: "json" };
import stageWorm50 from "../../data/parts/stage-worm-50.json" with { type: "json" };
import valveFullBoreDn15 from "../../data/parts/valve-full-bore-dn15.json" with { type: "json" };
import valveFullBoreDn20 from "../../data/parts/valve-full-bore-dn20.json" with { type: "json" };
import valveFullBoreDn25 from "../../data/parts/valve-full-bore-dn25.json" with { type: "json" };
import valveFullBoreDn32 from "../../data/parts/valve-full-bore-dn32.json" with { type: "json" };
import valveFullBoreDn40 from "../../data/parts/valve-full-bore-dn40.json" with { type: "json" };
import valveFullBoreDn50 from "../../data/parts/valve-full-bore-dn50.json" with { type: "json" };
import valveTrunnionDn32 from "../../data/parts/valve-trunnion-dn32.json" with { type: "json" };
import valveTrunnionDn50 from "../../data/parts/valve-trunnion-dn50.json" with { type: "json" };

/** To add a part: its file in data/parts/ and its line here. */
export const shippedParts = [
  batteryLeadAcid24v,
  batteryLithiumIon6s,
  batteryLithiumIon7s,
  batteryLithiumIronPhosphate8s,
  motorBrushed150w,
  motorBrushed30w,
  motorBrushed60w,
  motorBrushless100w,
  motorBrushless200w,
  motorBrushless400w,
  motorBrushless50w,
  seatPctfe,
  seatPtfeGlass,
  seatPtfe,
  stageCycloidal1570mm,
  stageCycloidal3070mm,
  stageCycloidal3085mm,
  stagePlanetary1042mm,
  stagePlanetary1060mm,
  stagePlanetary1080mm,
  stagePlanetary542mm,
  stagePlanetary560mm,
  stagePlanetary580mm,
  stageSpur3,
  stageStrainWave10060mm,
  stageStrainWave10070mm,
  stageStrainWave5060mm,
  stageStrainWave5070mm,
  stageWorm10,
  stageWorm30,
  stageWorm50,
  valveFullBoreDn15,
  valveFullBoreDn20,
  valveFullBoreDn25,
  valveFullBoreDn32,
  valveFullBoreDn40,
  valveFullBoreDn50,
  valveTrunnionDn32,
  valveTrunnionDn50,
];
