/** A frame by where it stands: clamps hide labels, the press is always in sight. */
import { useState } from "preact/hooks";

import { ConditionWordAndShape } from "../../shared/conditions.jsx";
import { t } from "../../shared/language.js";
import { touchesFrames, useApp, useLoaded } from "../ui/app.js";
import { Choice } from "../ui/choice.jsx";
import { Page } from "../ui/page.jsx";
import { ROOM } from "../ui/remembered.js";

/** Frames whose last place this is. @param {any[]} states @param {string} place */
function standingAt(states, place) {
  const here = states.filter((state) => (place === ROOM ? state.place?.to === "rack" : state.place?.press === place && state.place.to === "press"));
  return here.sort((one, two) => (one.place.station ?? 0) - (two.place.station ?? 0) || String(one.place.rack ?? "").localeCompare(two.place.rack ?? ""));
}

/** @param {any} props */
function Row({ view }) {
  const { router, things } = useApp();
  const { place } = view.frame;
  const where = place.to === "press" ? t`Station ${place.station ?? "?"}` : place.rack || t`Rack`;
  return (
    <li>
      <button type="button" class="row" onClick={() => router.go("card", { code: view.thing.code })}>
        <b class="row-code">{where}</b>
        <span class="row-more">{view.thing.code} {things.name("colour", view.screen?.colour)}</span>
        {view.screen && <ConditionWordAndShape word={view.condition.word} />}
      </button>
    </li>
  );
}

export function PickView() {
  const { store, frames, things, context } = useApp();
  const [place, setPlace] = useState(context.place);
  const views = useLoaded(async () => {
    const states = standingAt(await store.states("frame"), place);
    const known = states.filter((state) => things.get("frame", state.frame)).slice(0, 60);
    return Promise.all(known.map((state) => frames.frameView(state.frame)));
  }, [place, things], touchesFrames);
  const presses = things.list("press").map((press) => ({ value: press.id, text: press.name }));
  return (
    <Page title={t`By place`}>
      <Choice label={t`Where`} hideLabel options={[...presses, { value: ROOM, text: t`Racks` }]} value={place} onChange={setPlace} />
      {views?.length === 0 && <p class="hint">{t`No frame is logged as standing there. Scan it, or type its code.`}</p>}
      <ul class="rows">{views?.map((view) => <Row key={view.thing.id} view={view} />)}</ul>
    </Page>
  );
}
