import { useState } from "preact/hooks";

import { t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";
import { findTyped } from "./labels.js";

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
      <Page title={t`Type a code`} foot={<><Action onClick={() => router.swap("scan")}>{t`Scan instead`}</Action><button type="submit" class="action go">{t`Open`}</button></>}>
        <TextField
          label={t`Code on the frame`} value={text} code problem={problem}
          hint={t`As on the label, or the shop’s own number. Any case, with or without the hyphen.`} onChange={(next) => { setText(next); setProblem(""); }}
        />
      </Page>
    </form>
  );
}
