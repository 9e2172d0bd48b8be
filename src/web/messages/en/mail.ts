/** What an address wants to be told: the page at the foot of every mail. */
import type { Role } from '../../../core/vocabulary.ts';

const WHEN: { readonly [role in Role]: string } = {
  coordinator:
    'when something needs a look: a stop is missed, a container reported full, the plan in danger, a van off the road, a mail that cannot be sent',
  driver: 'when your rounds change; the run sheet always shows them as they are',
  donor:
    'when something changes about our collections: a visit moves, a stop was missed, an extra collection is confirmed',
};

export const mail = {
  title: 'Your mail',
  heading: 'What we write to you',
  lead: (address: string, roles: readonly Role[]): string =>
    roles.length === 0
      ? `To ${address}. Nobody with this address is in the register now, so nothing is written to it.`
      : `To ${address}, ${roles.map((role) => WHEN[role]).join('; and ')}.`,
  noAddress: {
    coordinator:
      'The workshop has no e-mail address yet. Write it under word.email in workshop.json and import it, then choose here.',
    driver: 'The workshop has no e-mail address of yours. Tell it one, then choose here what you are sent.',
  },
  howOften: 'How often',
  choices: {
    each: 'Tell me as it happens',
    digest: 'One mail a day is enough',
    none: 'Write me nothing',
  },
  remind: 'Remind me the day before a visit',
  keep: 'Keep',
  kept: 'Kept. It holds from now on.',
  gone: 'This link belongs to no address. Take the one from your latest mail.',
  chooseOne: 'Choose one of the three.',
};
