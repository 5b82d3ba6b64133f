/** A torque in the units that wrenches are marked in. */
export interface TorqueInUnits {
  readonly newtonMetres: number;
  readonly footPounds: number;
  readonly inchPounds: number;
}

/** One fastener of a change sheet. */
export interface FastenerResult {
  readonly where: string;
  /** As written. */
  readonly size: string;
  readonly propertyClass: string | null;
  /** As written in the trial. */
  readonly written: string;
  readonly torque: TorqueInUnits;
  /** Thread as understood: diameter, pitch, stress area, and the standard it comes from; null where the size is not known here. */
  readonly thread: {
    readonly name: string;
    readonly diameterM: number;
    readonly pitchM: number;
    readonly stressAreaM2: number;
    readonly source: string;
  } | null;
  /** Proof load of size and class; null where either is not known. */
  readonly proofLoadN: number | null;
  /** Torque from the least to the most that size and class would ask for: T = K d F; over all classes where the class is not known. Null where the size is not known. */
  readonly expected: {
    readonly low: TorqueInUnits;
    readonly high: TorqueInUnits;
    readonly basis: string;
  } | null;
  readonly flag: 'none' | 'above' | 'below' | 'another unit meant' | 'cannot tell';
  /** The unit in which the number would make sense, such as `lb in`; null unless the flag says so. */
  readonly unitMeant: string | null;
  /** Why it is flagged or cannot be told, with both numbers; null where nothing is flagged. */
  readonly sentence: string | null;
}

/** What was changed on the car for a setup. */
export interface ChangeSheetResult {
  readonly parts: readonly string[];
  readonly fasteners: readonly FastenerResult[];
  readonly belts: readonly string[];
  readonly hoses: readonly string[];
  readonly notes: readonly string[];
  /** That the maker's figure rules. Shown with every sheet that has fasteners. */
  readonly caution: string;
}
