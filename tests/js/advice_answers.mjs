// Answers the questions in a file of JSON as the phone would, for the test that compares them with the server's.
//   node advice_answers.mjs QUESTIONS
import { readFileSync } from "node:fs";

import { lastSpots } from "../../static/src/phone/advice/answers.js";
import { cornerPlan, evenUp, registerPlan, tensionPlan, whatIf } from "../../static/src/phone/advice/index.js";
import { Setup } from "../../static/src/phone/advice/setup.js";
import { planned } from "../../static/src/phone/advice/tensioning.js";

/** The plan's numbers before they are rounded for people. */
function unrounded(request) {
  const setup = new Setup(request);
  const { plan } = planned(setup, lastSpots(setup, setup.isCoated ? "coated" : "bare"));
  const listed = (both) => both && [...both[0]].map((x, i) => [x, both[1][i]]);
  const { predicted: found } = plan;
  return { turns: plan.unrounded && [...plan.unrounded], highest: plan.highest, predicted: found && [found.low, found.mean, found.high].map(listed) };
}

const answers = { corners: cornerPlan, tension: tensionPlan, register: registerPlan, even_up: evenUp, what_if: whatIf, unrounded };

function told([question, request]) {
  try {
    return answers[question](request);
  } catch (fault) {
    if (fault.name !== "InputFault") throw fault;
    return { field: fault.field, value: fault.value, remedy: fault.remedy };
  }
}

console.log(JSON.stringify(JSON.parse(readFileSync(process.argv[2], "utf-8")).map(told)));
