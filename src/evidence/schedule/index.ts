/** Schedules for a controller: written with check values, read back, and verified to the last byte. */
export { type ScheduleTable, scheduleTable } from "./scheduleFile.js";
export { type ScheduleForm, scheduleText } from "./scheduleText.js";
export { type VerifiedSchedule, verifySchedule } from "./verify.js";
