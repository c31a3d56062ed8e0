/** The frame in hand: which job it serves and where it lies, whatever the phone is set to. Pure. */
import { hiddenBolts } from "../../shared/drawing/clamps.js";

/** @typedef {import("./remembered.js").Context} Context @typedef {import("./things.js").Things} Things */

/** Printed again from a kept stencil: the screen still carries the colour that is repeated. @param {any} screen @param {Context} context @param {Things} things */
function isRepeat({ colour }, context, things) {
  if (context.colour) return things.get("colour", context.colour)?.repeats === colour;
  return things.list("colour").some((one) => one.job === context.job && one.repeats === colour);
}

/**
 * Job and colour to write down for a screen: its own where it has a stencil for one, since the
 * stencil does not change with what a phone was told in the morning.
 * @param {any} screen @param {Context} context @param {Things} things
 * @returns {{job: string | null, colour: string | null}}
 */
export function jobInHand(screen, context, things) {
  const { job, colour } = screen?.colour && !screen.ended && !isRepeat(screen, context, things) ? screen : context;
  return { job: job ?? null, colour: colour ?? null };
}

/** Whether the screen in hand is another one than this press is set to. @param {any} screen @param {Context} context @param {Things} things */
export function isOtherScreen(screen, context, things) {
  if (!context.press || !screen?.colour || screen.ended || isRepeat(screen, context, things)) return false;
  return context.colour ? context.colour !== screen.colour : Boolean(context.job) && context.job !== screen.job;
}

/** Job and colour in letters large enough to notice the wrong one. @param {{job: string | null, colour: string | null}} of @param {Things} things */
export const jobText = (of, things) => [things.get("job", of.job)?.number, things.name("colour", of.colour)].filter(Boolean).join(" · ");

/**
 * The press that the frame in hand lies on: the phone's own, unless the log says that the frame is
 * elsewhere. A tweak made at this press tells more than an older word about its place.
 * @param {any} card @param {Context} context @returns {string | null}
 */
export function pressHere({ frame, screen }, { press }) {
  const { place } = frame;
  if (!press || !place || (place.to === "press" && (place.press ?? press) === press)) return press;
  const tweak = screen?.tweaks?.last;
  return tweak?.press === press && tweak.at > place.since ? press : null;
}

/** On this press or on another one: hands go into a machine. @param {any} card @param {Context} context */
export const isOnPress = (card, context) => Boolean(pressHere(card, context)) || card.frame.place?.to === "press";

/**
 * Bolts under the clamps of the press that the frame lies on.
 * @param {any} card @param {import("../../shared/types.js").View} view @param {{context: Context, things: Things}} app
 * @param {string | null} [press]  what is for register is done on the press where the phone is
 */
export function hiddenHere(card, view, { context, things }, press = pressHere(card, context)) {
  const clamps = things.get("press", press)?.clamps ?? [];
  return hiddenBolts(card.thing, view, clamps);
}
