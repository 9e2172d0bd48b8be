/** Sends what waits in the outbox while the server runs, one mail at a time, and queues the reminders of the day. */
import { afterWrites } from '../store/db.ts';
import type { Context } from '../usecases/context.ts';
import { remindOfTomorrow } from '../usecases/word/remind-of-tomorrow.ts';
import { type MailToSend, noteNotSent, noteSent, takeMail } from '../usecases/word/send-mail.ts';
import type { Mail } from '../word/render.ts';
import type { MailTransport } from './mail-transport.ts';

/** Words are gathered for minutes: a look now and then is enough. */
const LOOK_EVERY_MS = 5000;

export type KeepSending = {
  readonly context: Context;
  readonly render: (mail: MailToSend) => Mail;
  readonly transport: MailTransport;
  /** For the log: a mail that was not taken is in the outbox as well. */
  readonly onFault: (error: unknown) => void;
  readonly lookEveryMs?: number;
};

export type Sender = { readonly settled: () => Promise<void>; readonly stop: () => Promise<void> };

export function keepSending(deps: KeepSending): Sender {
  const { context, transport, onFault, lookEveryMs = LOOK_EVERY_MS } = deps;
  let isStopping = false;
  let going: Promise<void> | undefined;
  const go = async (): Promise<void> => {
    remindOfTomorrow(context);
    while (!isStopping) {
      const mail = takeMail(context);
      if (!mail) break;
      await sendOne(deps, mail);
    }
  };
  const wake = (): void => {
    if (isStopping) return;
    // After the transaction that told us: its words must be there to be read.
    going ??= Promise.resolve()
      .then(go)
      .catch(onFault)
      .finally(() => {
        going = undefined;
      });
  };
  const forget = afterWrites(context.store, wake);
  const timer = setInterval(wake, lookEveryMs);
  timer.unref();
  wake();
  return {
    settled: async () => {
      while (going !== undefined) await going;
    },
    async stop() {
      isStopping = true;
      clearInterval(timer);
      forget();
      await going;
      transport.close();
    },
  };
}

async function sendOne(
  { context, render, transport, onFault }: KeepSending,
  mail: MailToSend,
): Promise<void> {
  try {
    await transport.send(render(mail), new Date(context.now() * 1000));
  } catch (error) {
    onFault(error);
    noteNotSent(context, mail, error);
    return;
  }
  noteSent(context, mail.mailId);
}
