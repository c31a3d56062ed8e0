/** Who works, where, on what and how the frame lies: told once, remembered per place. */
import { useMemo } from "preact/hooks";

import { FrameDrawing } from "../../shared/drawing/frame.jsx";
import { t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { Choice } from "../ui/choice.jsx";
import { Lie } from "../ui/drawing.jsx";
import { Action, Page } from "../ui/page.jsx";
import { ROOM } from "../ui/remembered.js";

/** A frame to show how frames lie here: the last one held, else a plain one. */
const PLAIN = {
  id: "",
  code: "",
  inside_a_mm: 1000,
  inside_b_mm: 800,
  step_48ths: 8,
  bolts: { A: [100, 300, 500, 700, 900], B: [100, 300, 500, 700], C: [100, 300, 500, 700, 900], D: [100, 300, 500, 700] },
};

const named = (/** @type {any[]} */ list) => list.map((one) => ({ value: one.id, text: one.name }));

function AtPress() {
  const { things, context, remember } = useApp();
  const press = things.get("press", context.press);
  const stations = Array.from({ length: press?.stations ?? 0 }, (_, i) => ({ value: String(i + 1), text: String(i + 1) }));
  const jobs = things.list("job").filter((job) => !job.done).map((job) => ({ value: job.id, text: job.number, sub: job.title }));
  const colours = things.list("colour").filter((colour) => colour.job === context.job).sort((one, two) => one.position - two.position);
  const atStation = (/** @type {string} */ value) => remember({ station: Number(value) });
  return (
    <>
      {stations.length > 1 && (
        <Choice label={t`Station`} columns={5} options={stations} value={context.station ? String(context.station) : null} onChange={atStation} />
      )}
      <Choice label={t`Job`} optional options={jobs} value={context.job} onChange={(job) => remember({ job, colour: null })} />
      {jobs.length === 0 && <p class="hint">{t`No open job. The office adds jobs.`}</p>}
      {colours.length > 0 && (
        <Choice label={t`Colour`} optional options={named(colours)} value={context.colour} onChange={(colour) => remember({ colour })} />
      )}
    </>
  );
}

export function ContextView() {
  const { things, context, remember, router } = useApp();
  const frame = useMemo(() => things.get("frame", context.recent[0]) ?? PLAIN, [things]);
  const view = { face: context.face, near: context.near };
  const places = [{ value: ROOM, text: t`Screen room` }, ...named(things.list("press"))];
  return (
    <Page title={t`Who and where`} foot={<Action go wide onClick={() => { remember(view); router.back(); }}>{t`Done`}</Action>}>
      <Choice label={t`Who`} options={named(things.list("operator"))} value={context.operator} onChange={(operator) => remember({ operator })} />
      {things.list("operator").length === 0 && <p class="hint">{t`No names yet. The office adds operators.`}</p>}
      <Choice label={t`Where`} options={places} value={context.place} onChange={(place) => remember({ place })} />
      {context.press && <AtPress key={context.press} />}
      <h2>{t`How a frame lies here`}</h2>
      <FrameDrawing frame={frame} view={view} width={Math.min(window.innerWidth, 560) - 64} maxHeight={240} />
      <Lie view={view} open onChange={remember} />
      <p class="hint">{t`The punch mark • sits beside bolt A1.`}</p>
    </Page>
  );
}
