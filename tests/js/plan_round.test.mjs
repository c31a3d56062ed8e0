// A round turned bolt by bolt: ticks, second thoughts, what the log gets of it; plans in words.
import assert from "node:assert/strict";
import { test } from "node:test";

import { newDraft } from "../../static/src/phone/entries/index.js";
import { outcomeOf } from "../../static/src/phone/views/plan/outcome.js";
import { begin, entriesOf, nip, nipBack, nippedTurns, tick, tickBack, toggle, turnedBolts, turnedBy } from "../../static/src/phone/views/plan/round.js";
import { alikeSides, bandText, bySide, countedText, drawnText, drawnTogether, foretoldRange, placeName, spotsAfter } from "../../static/src/phone/views/plan/telling.js";

const ASKED = ["A1", "A2", "C1"].map((bolt, i) => ({ bolt, turn_48ths: 8 * (i + 1) }));
const inHand = (round) => round.asked[round.at]?.bolt ?? "none";
const through = (round, ...steps) => steps.reduce((now, step) => step(now), round);

test("bolts are ticked off in wrench order, and the last tick can be taken back", () => {
  let round = begin(ASKED);
  assert.equal(inHand(round), "A1");
  round = through(round, tick, tick);
  assert.deepEqual([round.done, inHand(round)], [["A1", "A2"], "C1"]);
  round = tickBack(round);
  assert.deepEqual([round.done, inHand(round)], [["A1"], "A2"]);
  round = through(round, tick, tick);
  assert.equal(inHand(round), "none");
  assert.deepEqual(tick(round), round);
  assert.equal(inHand(tickBack(round)), "C1");
});

test("bolts can be ticked out of order; the next one open is in hand", () => {
  const round = through(begin(ASKED), (now) => toggle(now, "A2"), tick);
  assert.deepEqual([round.done, inHand(round)], [["A2", "A1"], "C1"]);
  const back = toggle(round, "A1");
  assert.deepEqual([back.done, inHand(back)], [["A2"], "A1"]);
  const last = through(begin(ASKED), (now) => toggle(now, "C1"), tick, tick);
  assert.equal(inHand(last), "none");
});

test("what was really turned counts, and what was not turned does not", () => {
  const round = through(begin(ASKED), (now) => turnedBy(now, 8), tick, (now) => turnedBy(now, -16), tick);
  assert.deepEqual(turnedBolts(round), [{ bolt: "A1", turn_48ths: 16 }]);
});

test("loose bolts are taken up step by step", () => {
  const round = through(begin(ASKED), (now) => nip(now, "B1", 8), (now) => nip(now, "B1", 8), (now) => nip(now, "D4", 8));
  assert.deepEqual(nippedTurns(round), { B1: 16, D4: 8 });
  assert.deepEqual(nippedTurns(nipBack(round)), { B1: 16 });
});

const DRAFT = newDraft({ kind: "turn_plan", frame: "f", screen: "s" });
const saved = (round, kind = "bolt_turns") => entriesOf({
  draft: DRAFT, plan: { status: "reaches" }, began: "2026-11-25T10:42:07.123+01:00", ids: { turns: "t", nipped: "n" }, round,
  turned: { kind, payload: { purpose: "stretch" } }, by: { operator: "o", scanned: null },
});

test("a round leaves its plan, its turns that name the plan, and the nipping up", () => {
  const [plan, turned, nipped] = saved(through(begin(ASKED), tick, (now) => nip(now, "B1", 8)));
  assert.deepEqual([plan.id, plan.kind, plan.occurred_at, plan.operator], [DRAFT.id, "turn_plan", "2026-11-25T10:42:07.123+01:00", "o"]);
  assert.deepEqual(turned.payload, { purpose: "stretch", bolts: [{ bolt: "A1", turn_48ths: 8 }], plan: DRAFT.id });
  assert.deepEqual([turned.id, turned.frame, turned.screen], ["t", "f", "s"]);
  assert.deepEqual([nipped.id, nipped.kind, nipped.payload], ["n", "nipped_up", { bolts: [{ bolt: "B1", turn_48ths: 8 }] }]);
});

test("where nothing was turned no turns are logged, but a tweak keeps its marks", () => {
  assert.deepEqual(saved(begin(ASKED)).map((one) => one.kind), ["turn_plan", "nipped_up"]);
  assert.deepEqual(saved(begin(ASKED), "register_tweak").map((one) => one.kind), ["turn_plan", "register_tweak", "nipped_up"]);
});

test("neighbours that turn alike are told together", () => {
  const bolts = [["A1", 8], ["A2", 16], ["A3", 16], ["A4", 16], ["A9", 8], ["B1", -8], ["B2", -8]].map(([bolt, turn_48ths]) => ({ bolt, turn_48ths }));
  assert.deepEqual(bySide(bolts, 8), [
    { side: "A", turns: [{ bolts: "A1 A9", text: "+1 flat" }, { bolts: "A2–A4", text: "+2 flats" }] },
    { side: "B", turns: [{ bolts: "B1 B2", text: "−1 flat" }] },
  ]);
  assert.equal(drawnTogether("At most 2 turns tightened per round: A9, A10, A11, C4."), "At most 2 turns tightened per round: A9–A11, C4.");
  assert.equal(drawnTogether("Neighbours may differ by 1 turn: A1-A2."), "Neighbours may differ by 1 turn: A1-A2.");
});

test("a long turn is told as it is counted", () => {
  assert.deepEqual([72, -96, 40, 54].map((turn) => countedText(turn, 8)), ["1 turn + 3 flats", "2 turns", "", ""]);
  assert.equal(countedText(54, 6), "1 turn + 1 eighth");
});

test("a reading foretold is told in halves and never surer than the meter", () => {
  assert.equal(bandText({ value: 21.4, low: 20.2, high: 22.6 }), "21½ ± 1½");
  assert.equal(bandText({ value: 22.1, low: 22, high: 22.2 }), "22 ± ½");
  const both = { along_a: { value: 21.4, low: 20, high: 23 }, across_a: { value: 19.1, low: 18, high: 20 } };
  assert.equal(foretoldRange([{ u: 0.5, v: 0.5, ...both }]), "19 to 21½ N/cm");
  assert.equal(foretoldRange([{ u: 0.5, v: 0.5, along_a: null, across_a: null }]), "");
});

test("places are told for the reader before the frame", () => {
  const frame = { inside_a_mm: 1000, inside_b_mm: 800 };
  assert.equal(placeName(frame, { face: "squeegee", near: "A" }, { u: 0.1, v: 0.9 }, "mm"), "far left, 8 cm from the side");
  assert.equal(placeName(frame, { face: "print", near: "A" }, { u: 0.1, v: 0.9 }, "in"), "far right, 3 in from the side");
});

test("after a round the same spots are read again, and the one least certain", () => {
  const predicted = [{ u: 0.5, v: 0.5 }, { u: 0.1, v: 0.1 }].map((at) => ({ ...at, along_a: null, across_a: null }));
  assert.equal(spotsAfter({ predicted, read_next: { u: 0.9, v: 0.5 } }).length, 3);
  assert.equal(spotsAfter({ predicted, read_next: { u: 0.52, v: 0.5 } }).length, 2);
  assert.equal(spotsAfter({ predicted, read_next: null }).length, 2);
});

const check = (n, value) => ({ id: `c${n}`, kind: "tension_check", screen: "s", payload: { spots: [{ u: 0.5, v: 0.5, along_a_n_per_cm: value, across_a_n_per_cm: null }] } });
const plan = { id: "p", kind: "turn_plan", screen: "s", payload: { predicted: [{ u: 0.5, v: 0.5, along_a: { value: 21, low: 20, high: 22 }, across_a: { value: 21, low: 20, high: 22 } }] } };

test("the last check is held against the plan it followed, and no other", () => {
  const outcome = (...newestFirst) => outcomeOf(newestFirst, "s");
  assert.deepEqual(outcome(check(2, 20.5), plan, check(1, 15)).rows.map((row) => [row.direction, row.read, row.met]), [["along_a", 20.5, true]]);
  assert.equal(outcome(check(2, 18), plan, check(1, 15)).rows[0].met, false);
  assert.equal(outcome(plan, check(1, 15)), null);
  assert.equal(outcome(check(3, 22), check(2, 21), plan, check(1, 15)), null);
  assert.equal(outcome(check(2, 21), { ...plan, voided: true }, check(1, 15)), null);
});

test("a drawing of turns names what its bare numbers count", () => {
  assert.equal(drawnText({ A1: 36 }, 6, true, false), "On the bolts: eighths of a turn, + tightens.");
  assert.equal(drawnText({ A1: 36 }, 3, true, false), "On the bolts: sixteenths of a turn, + tightens.");
  assert.equal(drawnText({ A1: 36 }, 8, true, true), "On the bolts: flats (sixths of a turn), + tightens. On the mesh: what it should read then.");
  assert.equal(drawnText({ A1: 36 }, 6, false, false), "Filled bolts turn: how far stands below.");
  assert.equal(drawnText({}, 6, true, true), "");
});

test("many turns of a side stand pair by pair, each with its unit, and no two numbers run together", () => {
  const side = (letter) => [[1, 232], [2, 16], [3, 16], [4, 232]].map(([number, turn_48ths]) => ({ bolt: `${letter}${number}`, turn_48ths }));
  const other = [{ bolt: "B1", turn_48ths: 8 }];
  assert.deepEqual(alikeSides(bySide([...side("A"), ...other, ...side("C")], 8)), [
    { letters: "A, C", lines: [{ bolts: "1, 4", text: "+29 flats" }, { bolts: "2, 3", text: "+2 flats" }] },
    { letters: "B", lines: [{ bolts: "1", text: "+1 flat" }] },
  ]);
});
