/** What a search found, by kind. The box itself stands in the masthead of every page. */
import { Page } from '../../shared/page.tsx';
import type { SearchView } from './search-view.ts';

const FRAME = { role: 'coordinator' } as const;

export const SearchPage = ({ view }: { readonly view: SearchView }) => (
  <Page title="Search" workshop={view.workshop.name} searched={view.text} {...FRAME}>
    <h1>{view.text === '' ? 'Search' : `“${view.text}”`}</h1>
    {view.groups.length === 0 ? (
      <p class="lead">
        {view.text === '' ? '' : 'Nothing fits. '}Type part of the name of a site, a donor, a grade, a van or
        a driver; or a day, such as 16 June or Tuesday.
      </p>
    ) : (
      view.groups.map(({ title, found }) => (
        <section>
          <h2>{title}</h2>
          <ul class="found">
            {found.map(({ name, about, to }) => (
              <li>
                <a href={to}>{name}</a> <span class="soft">{about}</span>
              </li>
            ))}
          </ul>
        </section>
      ))
    )}
  </Page>
);
