/** Which status and field each refusal has on a donor's pages; its sentence is `say.booking.refusals`. */
import type { CancelRefusal, ExtraRefusal, FullRefusal, QuoteRefusal, TakeRefusal } from './donor-deps.ts';

type Refusal = FullRefusal | ExtraRefusal | CancelRefusal | QuoteRefusal | TakeRefusal;
export const REFUSED: {
  readonly [kind in Refusal['kind']]: {
    readonly status: 404 | 409 | 422;
    /** The field that it is about; '' for the form as a whole. */
    readonly field: string;
  };
} = {
  'site-not-found': { status: 404, field: '' },
  'closed-all-window': { status: 422, field: 'untilDay' },
  'window-over': { status: 422, field: 'untilDay' },
  'fact-differs': { status: 409, field: '' },
  'still-to-come': { status: 422, field: '' },
  'booking-not-found': { status: 404, field: '' },
  'booking-closed': { status: 409, field: '' },
  'quote-not-found': { status: 404, field: '' },
  'no-such-offer': { status: 422, field: '' },
  'quote-taken': { status: 409, field: '' },
  'slot-taken': { status: 409, field: '' },
  'quote-over': { status: 409, field: '' },
};
