import {
  type CheckedLog,
  type Finding,
  type ForecastResult,
  type PlanResult,
  PullproofError,
  type ReconcileResult,
  type TrialResult,
  version,
} from '@pullproof/core';

const common = (refusal: Finding) =>
  ({
    title: 'This question cannot be answered as it stands',
    units: 'metric',
    findings: [refusal],
  }) as const;
const provenance = { version, inputs: [], settings: {} } as const;

/** Results that hold nothing but why there is nothing: what stands below in a notebook then says so too, instead of stopping. */
export const refusedResults = {
  compare: (refusal: Finding): TrialResult => ({
    ...common(refusal),
    schema: 'pullproof/result@1',
    provenance,
    overall: [],
    warning: { level: 'not measured', sentence: 'Not measured: nothing could be read.', details: [] },
    setups: [],
    comparisons: [],
    assumptions: [],
  }),
  forecast: (refusal: Finding): ForecastResult => ({
    ...common(refusal),
    schema: 'pullproof/forecast@1',
    provenance,
    day: null,
    forecasts: [],
    worth: [],
    slips: [],
    learned: [],
    assumed: [],
    cautions: [],
  }),
  reconcile: (refusal: Finding): ReconcileResult => ({
    ...common(refusal),
    schema: 'pullproof/reconcile@1',
    provenance,
    slips: [],
    comparisons: [],
    cautions: [],
  }),
  plan: (refusal: Finding): PlanResult => ({ ...common(refusal), schema: 'pullproof/plan@1', power: 0.8, level: 0.95, comparisons: [] }),
};

/** A log that could not be read, as an entry that says why. */
export function refusedLog(path: string, refusal: Finding): CheckedLog {
  return { path, dialect: null, rows: 0, rowsDropped: 0, durationS: null, channels: [], stretches: [], findings: [refusal] };
}

/** The answer, or what stands in for it where an input cannot be used. Any other error is a fault of ours and goes on. */
export function orRefused<R>(work: () => R, refused: (refusal: Finding) => R): R {
  try {
    return work();
  } catch (cause) {
    if (cause instanceof PullproofError) return refused(cause.toFinding());
    throw cause;
  }
}
