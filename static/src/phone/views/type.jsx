import { useState } from "preact/hooks";

import { formatCode, parseCode } from "../../shared/codes.js";
import { useApp } from "../ui/app.js";
import { TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";

/**
 * The frame that a typed text means: a code, or the shop's own number on the frame.
 * @param {any} store @param {string} text @returns {Promise<{code?: string, problem?: string}>}
 */
export async function findTyped(store, text) {
  const known = await store.frameByCode(text);
  if (known) return { code: known.code };
  try {
    const { prefix, number } = parseCode(text);
    return { code: formatCode(prefix, number) };
  } catch (error) {
    return { problem: /** @type {Error} */ (error).message };
  }
}

export function TypeView() {
  const { store, router } = useApp();
  const [text, setText] = useState("");
  const [problem, setProblem] = useState("");

  async function open(/** @type {Event} */ event) {
    event.preventDefault();
    const { code, problem: found } = await findTyped(store, text);
    if (code) router.swap("card", { code });
    else setProblem(found ?? "");
  }

  return (
    <form onSubmit={open}>
      <Page title="Type a code" foot={<><Action onClick={() => router.swap("scan")}>Scan instead</Action><button type="submit" class="action go">Open</button></>}>
        <TextField
          label="Code on the frame" value={text} code problem={problem}
          hint="As on the label, or the shop’s own number. Any case, with or without the hyphen." onChange={(next) => { setText(next); setProblem(""); }}
        />
      </Page>
    </form>
  );
}
