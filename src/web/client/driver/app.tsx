/** Which screen is on: by the address, so that a reload and the back key do what people expect. */
import { useEffect, useState, useSyncExternalStore } from 'hono/jsx/dom';
import type { RoundView, SiteStopView } from '../../driver/run-view.ts';
import { type Say, sayIn } from '../../messages/say.ts';
import { ChangeNotice } from './change-notice.tsx';
import { ExtraScreen } from './extra-screen.tsx';
import { OffRoadScreen } from './off-road-screen.tsx';
import { onThePhone, type PhoneRun } from './on-the-phone.ts';
import { RunSheet } from './run-sheet.tsx';
import type { SheetModel, SheetState } from './sheet-model.ts';
import { Here, type Shown, useSheet } from './shown.ts';
import { StatusLine } from './status-line.tsx';
import { StopScreen } from './stop-screen.tsx';
import { UnloadScreen } from './unload-screen.tsx';

/** Once a minute: what is due and what is late moves with the clock. */
const TICK_MS = 60_000;

export const App = ({ model }: { readonly model: SheetModel }) => {
  const state = useSyncExternalStore(model.subscribe, model.get);
  const [address, setAddress] = useState(location.pathname + location.search);
  const [, setTick] = useState(0);
  useEffect(() => {
    const onBack = () => setAddress(location.pathname + location.search);
    addEventListener('popstate', onBack);
    const timer = setInterval(() => setTick((n: number) => n + 1), TICK_MS);
    return () => {
      removeEventListener('popstate', onBack);
      clearInterval(timer);
    };
  }, []);
  const go: Shown['go'] = (path) => {
    history.pushState(null, '', path);
    setAddress(path);
    scrollTo(0, 0);
    document.querySelector<HTMLElement>('main')?.focus();
  };
  const sent = state.kept?.accepted;
  const say = sayIn(sent?.language ?? (document.documentElement.lang === 'de' ? 'de' : 'en'));
  if (!sent) return <NoSheet say={say} state={state} />;
  const shown: Shown = {
    model,
    state,
    say,
    zone: sent.run.workshop.zone,
    nowAt: model.nowAt(),
    go,
    phone: onThePhone(sent, state.facts, state.order),
  };
  return (
    <Here.Provider value={shown}>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: only listens to the links inside it. */}
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: a link's own key makes a click. */}
      <div class="sheet-app" onClick={(event: MouseEvent) => follow(event, go)}>
        <StatusLine />
        <ChangeNotice />
        <Screen address={address} />
      </div>
    </Here.Provider>
  );
};

/** Our own links stay on this page; everything else is the browser's. */
function follow(event: MouseEvent, go: Shown['go']): void {
  const link = event.target instanceof Element ? event.target.closest('a') : null;
  if (!link || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (link.origin !== location.origin || !screenOf(link.pathname)) return;
  event.preventDefault();
  go(link.pathname + link.search);
}

type ScreenName = 'sheet' | 'stop' | 'unload' | 'extra' | 'off-road';
const SCREENS: readonly (readonly [RegExp, ScreenName])[] = [
  [/^\/driver$/, 'sheet'],
  [/^\/driver\/stops\/([^/]+)$/, 'stop'],
  [/^\/driver\/rounds\/([^/]+)\/unload$/, 'unload'],
  [/^\/driver\/rounds\/([^/]+)\/extra$/, 'extra'],
  [/^\/driver\/rounds\/([^/]+)\/off-road$/, 'off-road'],
];
function screenOf(path: string): { readonly name: ScreenName; readonly id: string } | undefined {
  for (const [pattern, name] of SCREENS) {
    const found = pattern.exec(path);
    if (found) return { name, id: found[1] ?? '' };
  }
  return undefined;
}

const Screen = ({ address }: { readonly address: string }) => {
  const { phone } = useSheet();
  const { pathname, searchParams } = new URL(address, location.origin);
  const screen = screenOf(pathname);
  const round = phone.run.rounds.find(({ roundId }) => roundId === screen?.id);
  const at = screen?.name === 'stop' ? stopOf(phone, screen.id) : undefined;
  if (at) return <StopScreen key={at.stop.stopId} {...at} isMissed={searchParams.has('missed')} />;
  if (round && screen?.name === 'unload') return <UnloadScreen round={round} />;
  if (round && screen?.name === 'extra') return <ExtraScreen round={round} />;
  if (round && screen?.name === 'off-road') return <OffRoadScreen round={round} />;
  return <RunSheet day={searchParams.get('day') ?? phone.run.todayDay} />;
};

function stopOf(
  { run }: PhoneRun,
  stopId: string,
): { readonly round: RoundView; readonly stop: SiteStopView } | undefined {
  for (const round of run.rounds)
    for (const stop of round.stops)
      if (stop.kind === 'site' && stop.stopId === stopId) return { round, stop };
  return undefined;
}

const NoSheet = ({ say, state }: { readonly say: Say; readonly state: SheetState }) => (
  <>
    <h1>{say.frame.navigation.driver}</h1>
    <p class="lead" role="status">
      {state.signal === 'signed-out'
        ? say.sheet.signedOut
        : state.signal === 'none'
          ? say.sheet.noSheet
          : say.sheet.opening}
    </p>
    {state.facts.length > 0 && (
      <p>{say.sheet.waiting(state.facts.filter((fact) => fact.state === 'waiting').length)}</p>
    )}
    <p>
      <a class="button" href="/driver?plain=1">
        {say.sheet.plain}
      </a>
    </p>
  </>
);
