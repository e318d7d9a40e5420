/* What somebody writes is kept a moment later: a phone ends a page without asking, and no key there says "save". */
import { onPages } from "./page.js";

const MOMENT = 1_000; // ms after the last letter

const written = (model) => [...model.cells].map((cell) => cell.sharedModel.getSource()).join("\0");

const watch = async (panel) => {
  const { context } = panel;
  await context.ready;
  const { model } = context;
  let known = written(model);
  let fails = false; // then the page has said so, and asking again would only disturb
  let timer;
  const keep = () => {
    if (fails || panel.isDisposed || written(model) === known) return;
    known = written(model);
    context.save().catch((error) => console.info("coldcab:", error));
  };
  context.saveState.connect((_, state) => {
    if (state !== "started") fails = state === "failed";
  });
  model.contentChanged.connect(() => {
    clearTimeout(timer);
    timer = setTimeout(keep, MOMENT);
  });
  document.addEventListener("visibilitychange", keep);
  panel.disposed.connect(() => document.removeEventListener("visibilitychange", keep));
};

export default {
  name: "saving",
  activate: (app) => onPages(app, watch),
};
