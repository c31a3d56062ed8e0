/**
 * What bundles that come later use of this one, so that a page has one Preact and one context.
 * `build.mjs` reads the names: in those bundles an import of such a file becomes a look in here.
 */
import * as preact from "preact";
import * as hooks from "preact/hooks";
import * as jsx from "preact/jsx-runtime";

import * as bolts from "../shared/drawing/bolts.jsx";
import * as frame from "../shared/drawing/frame.jsx";
import * as language from "../shared/language.js";
import * as entries from "./entries/index.js";
import * as fold from "./fold/index.js";
import * as app from "./ui/app.js";
import * as bundle from "./ui/bundle.js";
import * as caution from "./ui/caution.jsx";
import * as choice from "./ui/choice.jsx";
import * as drawing from "./ui/drawing.jsx";
import * as fields from "./ui/fields.jsx";
import * as forms from "./ui/forms.js";
import * as page from "./ui/page.jsx";
import * as scanner from "./ui/scanner.jsx";
import * as check from "./views/check/check.jsx";
import * as form from "./views/forms/form.jsx";
import * as gate from "./views/gate.jsx";
import * as turns from "./views/turns/turns.jsx";
import * as tweak from "./views/turns/tweak.jsx";

/** @type {any} */ (globalThis).tautbookParts = {
  "preact": preact,
  "preact/hooks": hooks,
  "preact/jsx-runtime": jsx,
  "shared/drawing/bolts.jsx": bolts,
  "shared/drawing/frame.jsx": frame,
  "shared/language.js": language,
  "phone/entries/index.js": entries,
  "phone/fold/index.js": fold,
  "phone/ui/app.js": app,
  "phone/ui/bundle.js": bundle,
  "phone/ui/caution.jsx": caution,
  "phone/ui/choice.jsx": choice,
  "phone/ui/drawing.jsx": drawing,
  "phone/ui/fields.jsx": fields,
  "phone/ui/forms.js": forms,
  "phone/ui/page.jsx": page,
  "phone/ui/scanner.jsx": scanner,
  "phone/views/check/check.jsx": check,
  "phone/views/forms/form.jsx": form,
  "phone/views/gate.jsx": gate,
  "phone/views/turns/turns.jsx": turns,
  "phone/views/turns/tweak.jsx": tweak,
};
