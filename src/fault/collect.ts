/** Gathering all faults of one reading, so that one bad field does not hide the next. */
import { type Fault, Refusal } from "./fault.js";

/** Tries parts of a reading one by one and keeps what they refuse. */
export class FaultCollector {
  private readonly gathered: Fault[] = [];

  /**
   * Result of an act, or undefined if it refused; its faults are kept. Anything else that is thrown
   * is a defect and passes through.
   *
   * @param field  field of those faults that do not name their own; undefined leaves them without one
   */
  attempt<T>(field: string | undefined, act: () => T): T | undefined {
    try {
      return act();
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      for (const fault of thrown.faults) {
        const named = field === undefined || fault.where.field !== undefined;
        this.gathered.push(named ? fault : { ...fault, where: { ...fault.where, field } });
      }
      return undefined;
    }
  }

  /** Faults kept so far, in the order of the attempts. */
  faults(): readonly Fault[] {
    return this.gathered;
  }

  /** Refuses with all faults kept so far, if there are any. */
  refuseIfAny(): void {
    if (this.gathered.length > 0) throw new Refusal(this.gathered);
  }
}
