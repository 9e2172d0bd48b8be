/**
 * The JSON interface. Everything the pages can do for a coordinator, and what a driver and a donor may do with
 * their own link under /api/driver and /api/donor. Who may what: `whoMay` in web/shared/session.ts, by path.
 */
import { OpenAPIHono } from '@hono/zod-openapi';
import { problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { changesApi } from './changes-api.ts';
import { coordinatorApi } from './coordinator-api.ts';
import { happeningsApi } from './happenings-api.ts';
import { objectiveApi } from './objective-api.ts';
import { onTheRoadApi } from './on-the-road-api.ts';
import { peopleApi } from './people-api.ts';
import { planningRunsApi } from './planning-runs-api.ts';
import { productionApi } from './production-api.ts';
import { quotesApi } from './quotes-api.ts';
import { refuseInvalid } from './route.ts';
import { tablesApi } from './tables-api.ts';
import { worthApi } from './worth-api.ts';

export function api(deps: ApiDeps): OpenAPIHono<SessionEnv> {
  const app = new OpenAPIHono<SessionEnv>({ defaultHook: refuseInvalid });
  app.openAPIRegistry.registerComponent('securitySchemes', 'link', {
    type: 'http',
    scheme: 'bearer',
    description: 'The session token of a private link; browsers send it as a cookie instead.',
  });
  tablesApi(app, deps);
  coordinatorApi(app, deps);
  changesApi(app, deps);
  planningRunsApi(app, deps);
  objectiveApi(app, deps);
  productionApi(app, deps);
  worthApi(app, deps);
  peopleApi(app, deps);
  onTheRoadApi(app, deps);
  quotesApi(app, deps);
  happeningsApi(app, deps);
  app.doc31('/api/openapi.json', {
    openapi: '3.1.0',
    info: {
      title: 'Feedround',
      version: '1',
      description:
        'Collection of waste film for a workshop. Masses in kg, distances in m, durations in s, money in whole millionths of the currency, instants in ISO 8601 UTC, days as YYYY-MM-DD in the workshop’s zone. Errors are RFC 9457 problem details.',
    },
    security: [{ link: [] }],
  });
  app.all('/api/*', (c) => {
    const allowed = methodsAt(app, c.req.path);
    if (allowed.length === 0) return problem(c, 'not-found');
    // RFC 9110, 15.5.6: a 405 names the methods that there are.
    c.header('Allow', allowed.join(', '));
    return problem(c, 'method-not-allowed');
  });
  return app;
}

/** The methods that are answered at this path. */
function methodsAt(app: OpenAPIHono<SessionEnv>, path: string): readonly string[] {
  const found = app.routes.filter(
    (route) =>
      route.method !== 'ALL' &&
      new RegExp(`^${route.path.replaceAll('.', '\\.').replace(/:[^/]+(\{[^}]*\})?/g, '[^/]+')}$`).test(path),
  );
  return [...new Set(found.map(({ method }) => method))].sort();
}
