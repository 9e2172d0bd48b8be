/** What every part of the sheet sees: the model, its state, the words, the time. */
import { createContext, useContext } from 'hono/jsx/dom';
import { time } from '../../messages/formats.ts';
import type { Say } from '../../messages/say.ts';
import type { PhoneRun } from './on-the-phone.ts';
import type { SheetModel, SheetState } from './sheet-model.ts';

export type Shown = {
  readonly model: SheetModel;
  readonly state: SheetState;
  readonly phone: PhoneRun;
  readonly say: Say;
  readonly zone: string;
  /** By the server's clock, as well as the phone can tell. */
  readonly nowAt: number;
  /** To another screen. */
  readonly go: (path: string) => void;
};

export const Here = createContext<Shown | undefined>(undefined);

export function useSheet(): Shown {
  const shown = useContext(Here);
  if (!shown) throw new Error('outside the sheet');
  return shown;
}

/** "10:20", in the workshop's zone. */
export const useTime = () => {
  const { zone } = useSheet();
  return (at: number): string => time(at, zone);
};
