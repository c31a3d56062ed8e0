// Python wrote these vectors; folding and conditions must say the same here.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { condition, fold, foldFrame } from "../../static/src/phone/fold/index.js";

const vectors = JSON.parse(readFileSync(new URL("../vectors/fold.json", import.meta.url), "utf8"));

test("every life of a frame folds as on the server", () => {
  assert.ok(vectors.fold.length >= 100);
  for (const { name, entries, state } of vectors.fold) {
    assert.deepEqual(fold(entries), state, name);
  }
});

test("order of arrival and doubles change nothing", () => {
  for (const { name, entries, state } of vectors.fold) {
    assert.deepEqual(fold([...entries, ...entries].reverse()), state, name);
  }
});

test("a frame folded on its own is the frame folded with all others", () => {
  for (const { name, entries, state } of vectors.fold) {
    for (const [id, frame] of Object.entries(state.frames)) {
      assert.deepEqual(foldFrame(entries, id).frame, frame, name);
    }
  }
});

test("every condition is said in the same words", () => {
  assert.ok(vectors.conditions.length >= 100);
  for (const { screen, shop, now, forecast, condition: said } of vectors.conditions) {
    assert.deepEqual(condition(screen, shop, now, forecast), said);
  }
});
