/* Pages for who wants SI first: each line of the course is shown with its metric quantity in front. Only what is shown is
   turned; the page's own text, what a learner wrote and the locked cells of a sheet are never touched. order.json has the
   lines, `python -m coldcab.make lines` writes it. */
import { ask, heard } from "./lines.js";
import { attempt } from "./common.js";

const PLACE = "coldcab: units"; // what this browser remembers until a kernel says otherwise
const START = "start-here.ipynb";
const AGAIN = 3_000; // ms between two questions to a kernel that does not know the course yet

let units = attempt(() => localStorage.getItem(PLACE)) ?? "us";
let lines = null; // what each line is shown as

const turned = (text) =>
  units === "si" && lines
    ? text
        .split("\n")
        .map((line) => (Object.hasOwn(lines, line) ? lines[line] : line))
        .join("\n")
    : text;

const pages = (app) => [...app.shell.widgets("main")].filter((panel) => panel.content?.rendermime);

/** Show each text of the page anew. */
const redraw = (panel) => {
  for (const cell of panel.content.widgets ?? []) {
    if (cell.model.type !== "markdown" || !cell.rendered) continue;
    cell._prevText = ""; // else JupyterLab takes the text for shown
    cell._updateRenderedInput?.();
  }
};

/** Turn what the page's texts are made from, once for all pages that share it. */
const reach = ({ content }) => {
  const parser = content.rendermime.markdownParser;
  if (!parser || parser.coldcabOrder) return;
  const render = parser.render;
  parser.render = (text, ...more) => render.call(parser, turned(text), ...more);
  parser.coldcabOrder = true;
};

const show = async (app) => {
  if (units === "si" && !lines) lines = await (await fetch(new URL("order.json", import.meta.url))).json();
  for (const panel of pages(app)) attempt(() => redraw(panel));
};

const learn = (app, said) => {
  if (!said || said === units) return;
  units = said;
  attempt(() => localStorage.setItem(PLACE, said));
  show(app).catch((error) => console.info("coldcab:", error));
};

/** A lesson asks its kernel for its sheet's sake; the first page, where units are chosen, has none. */
const listen = (panel) => {
  const kernel = panel.sessionContext.session?.kernel;
  if (panel.isDisposed || !kernel || panel.coldcabUnits === kernel.id) return;
  ask(kernel, "", "").then((state) => {
    if (state) panel.coldcabUnits = kernel.id;
    else setTimeout(() => attempt(() => listen(panel)), AGAIN);
  });
};

const meet = (panel) => {
  reach(panel);
  panel.context.ready.then(() => {
    if (panel.context.path.split("/").pop() !== START) return;
    panel.sessionContext.kernelChanged?.connect(() => attempt(() => listen(panel)));
    attempt(() => listen(panel));
  });
};

export default {
  name: "order",
  activate: (app) => {
    app.docRegistry.addWidgetExtension("Notebook", { createNew: (panel) => attempt(() => meet(panel)) });
    heard.add(({ units }) => learn(app, units));
    if (units === "si") show(app).catch((error) => console.info("coldcab:", error));
  },
};
