/**
 * Forms of the plain kinds of entry: what is asked, what it becomes in the log.
 *
 * @typedef {object} Field
 * @property {string} name @property {string} label
 * @property {"choice" | "number" | "text" | "bolt" | "marks" | "bolts_mm"} type
 * @property {Record<string, string> | {value: string, text: string, sub?: string}[]} [options]
 * @property {1 | 2 | 3 | 5} [columns] @property {string} [unit] @property {string} [hint]
 * @property {boolean} [optional] @property {boolean} [whole] @property {boolean} [signed]
 * @property {(value: any) => Record<string, any>} [sets]  values of other fields that follow from this one
 * @property {number} [least] @property {number} [most] @property {string} [empty]
 *
 * @typedef {{card: any, things: any, context: any, about: string | null}} Ground
 *   `about`: the entry that this one speaks of, for after marks and causes
 *
 * @typedef {object} Spec
 * @property {string} title
 * @property {(ground: Ground, values: any) => (keyof typeof import("../../../shared/cautions.js").CAUTIONS)[]} [caution]
 * @property {(ground: Ground) => Record<string, any>} start
 * @property {(values: any, ground: Ground) => Field[]} fields
 * @property {(values: any, ground: Ground) => any} payload  of values that passed `fields`
 * @property {(payload: any) => Record<string, any>} [values]  a saved payload back to values
 * @property {(values: any) => any} [subject]
 * @property {(payload: any) => string} [said]  what the saved tick says, if not the title
 */
import { BOLT_FORMS } from "./specs_bolts.js";
import { MESH_FORMS } from "./specs_mesh.js";
import { PLACE_FORMS } from "./specs_place.js";
import { REGISTER_FORMS } from "./specs_register.js";
import { STENCIL_FORMS } from "./specs_stencil.js";

/** @type {Record<string, Spec>} */
export const SPECS = { ...STENCIL_FORMS, ...MESH_FORMS, ...BOLT_FORMS, ...REGISTER_FORMS, ...PLACE_FORMS };
