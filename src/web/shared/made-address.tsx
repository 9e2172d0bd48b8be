/** The address of a new link, the only time it is shown. */
import { dayYear, localDay } from './format.ts';
import type { MadeLink } from './made-link.ts';

export const MadeAddress = ({ made, zone }: { readonly made: MadeLink; readonly zone: string }) => (
  <>
    <p class="lead">Copy it now: it is kept only as a fingerprint, so nobody can show it again.</p>
    <p class="made-link">
      <code>{made.url}</code>
    </p>
    <p>Good until {dayYear(localDay(made.expiresAt, zone))}.</p>
  </>
);
