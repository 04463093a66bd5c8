import { faultsText, Refusal } from "../../src/fault/index.js";

/** What an act refuses with, as text; fails if it does not refuse. */
export async function refusalOf(
  act: () => unknown,
): Promise<{ readonly code: string; readonly text: string }> {
  try {
    await act();
  } catch (thrown) {
    if (thrown instanceof Refusal)
      return { code: thrown.faults[0]?.code ?? "", text: faultsText(thrown.faults) };
    throw thrown;
  }
  throw new Error("nothing was refused");
}
