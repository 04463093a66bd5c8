/** The key under which the answers to one state of a dossier are kept. */

/** 53 bits of two multiplied and mixed sums; not a seal, a name for a state among some thousands. */
export function inputKey(texts: Readonly<Record<string, string>>, caseId: string, evidence: number): string {
  const whole = JSON.stringify([
    caseId,
    evidence,
    ...Object.entries(texts).sort(([a], [b]) => (a < b ? -1 : 1)),
  ]);
  let high = 0xdeadbeef;
  let low = 0x41c6ce57;
  for (let i = 0; i < whole.length; i++) {
    const code = whole.charCodeAt(i);
    high = Math.imul(high ^ code, 2654435761);
    low = Math.imul(low ^ code, 1597334677);
  }
  high = Math.imul(high ^ (high >>> 16), 2246822507) ^ Math.imul(low ^ (low >>> 13), 3266489909);
  low = Math.imul(low ^ (low >>> 16), 2246822507) ^ Math.imul(high ^ (high >>> 13), 3266489909);
  return (4294967296 * (2097151 & low) + (high >>> 0)).toString(36);
}
