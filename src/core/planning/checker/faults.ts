/** What the checker finds, and what its parts hand each other. */

export type FaultCode =
  | 'shape'
  | 'unknown'
  | 'twice'
  | 'leg'
  | 'time'
  | 'window'
  | 'shift'
  | 'break'
  | 'load'
  | 'promise'
  | 'reason'
  | 'left-out'
  | 'money'
  | 'stock';

/** One thing that does not hold: where, what the plan says and what comes out of the data. */
export type Fault = {
  readonly code: FaultCode;
  readonly where: string;
  readonly says?: number | string;
  readonly is?: number | string;
};

export type Visit = {
  readonly site: number;
  readonly day: number;
  readonly shift: number;
  readonly startAt: number;
};

export type Collected = Visit & { readonly kg: number; readonly kg2: number };

export const visitsOf = (visits: readonly Visit[], site: number): Visit[] =>
  visits.filter((visit) => visit.site === site).sort((a, b) => a.day - b.day);
