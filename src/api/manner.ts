/** What a prediction of the library is asked for. */

/** What is predicted, and with how much work. */
export interface PredictingManner {
  /** One of the valve's `cases`; `duty` where it is left out. */
  readonly case?: string;
  /** Samples of the band, 0 for nominal values alone; 512 where it is left out, as `coldturn check` draws. */
  readonly samples?: number;
  /** 1 where it is left out. The same valve, case, samples and seed give the same numbers. */
  readonly seed?: number;
}
