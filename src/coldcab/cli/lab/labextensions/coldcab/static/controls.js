/* Names for every control of an instrument, and what a slider says to a screen reader. */
import { onPages, setTo } from "./common.js";

const CONTROLS = ".jupyter-widgets :is(input, select, textarea, .noUi-handle)";

/** The words that stand beside or above a control: its own label, its slider's, or the question over it. */
const label = (control) => {
  const own = control.closest(".widget-inline-hbox");
  for (const place of [own, own?.previousElementSibling]) {
    const words = place?.querySelector(".widget-label:not(:empty), strong")?.textContent.trim();
    if (words) return words;
  }
  return "";
};

const nameControl = (control) => {
  const handles = control.closest(".noUi-base")?.querySelectorAll(".noUi-handle").length;
  // A box or a list whose own label is shown has its name from there.
  if (!handles && [...(control.labels ?? [])].some((own) => own.textContent.trim())) return;
  const end = control.classList.contains("noUi-handle-lower") ? "lower end" : "upper end";
  const words = label(control);
  setTo(control, "aria-label", words && handles > 1 ? `${words}, ${end}` : words);
};

// --- What a slider says ------------------------------------------------------------------------------------------

const before = new WeakMap(); // what the box beside a slider showed when its handle was last moved

const box = (handle) => handle.closest(".widget-slider")?.nextElementSibling?.querySelector("input[type=text]");

/** The slider library has just written a bare number, "199.99999999999997": say it as the box is going to. */
const sayNumber = (handle) => {
  const raw = handle.getAttribute("aria-valuetext");
  const beside = box(handle);
  const shown = beside?.value;
  if (!shown || !/^-?[\d.]+(e-?\d+)?$/.test(raw)) return;
  const digits = /\.(\d+)/.exec(shown)?.[1].length ?? 0;
  const number = Number(Number(raw).toFixed(digits)) + 0; // no "-0"
  const fraction = { minimumFractionDigits: digits, maximumFractionDigits: digits };
  const unit = /, ([^,]+)$/.exec(label(handle))?.[1] ?? "";
  // Moved by what was typed into the box, the handle comes after it and does not make it old.
  if (beside === document.activeElement) before.delete(handle);
  else before.set(handle, shown);
  setTo(handle, "aria-valuetext", `${number.toLocaleString("en-US", fraction)} ${unit}`.trim());
};

/** The box has the last word: below zero a gauge reads in inches of vacuum, and a typed number stands between steps. */
const sayBox = (handle) => {
  const shown = box(handle)?.value;
  // Words without a number are a slip of the hand; the instrument has not followed them.
  if (/\d/.test(shown) && shown !== before.get(handle)) setTo(handle, "aria-valuetext", shown);
};

export default {
  name: "controls",
  activate: (app) =>
    onPages(app, {
      changed: (panel, changes) => {
        for (const { type, target } of changes) if (type === "attributes") sayNumber(target);
      },
      settled: (panel) => {
        panel.node.querySelectorAll(CONTROLS).forEach(nameControl);
        panel.node.querySelectorAll(".noUi-handle").forEach(sayBox);
      },
    }),
};
