/* Lessons do not pile up: besides the first page the three pages that were seen last stay open. One that gives way is
   saved first; then it closes and its kernel with it. A page that cannot be saved, or that stands in view beside
   another, stays. */
import { attempt } from "./common.js";

const START = "start-here.ipynb";
const MOST = 3;

const pages = (app) =>
  [...app.shell.widgets("main")].filter((panel) => panel.context?.path.endsWith(".ipynb") && panel.sessionContext);

const giveWay = async (app, panel) => {
  if (panel.context.model.dirty) await panel.context.save();
  if (panel.context.model.dirty || panel.isVisible) return;
  await panel.sessionContext.shutdown().catch(() => {});
  const name = panel.title.label.replace(/\.ipynb$/, "");
  panel.dispose();
  const message = `${name} is saved and closed, to make room. Its link opens it again as you left it.`;
  attempt(() => app.commands.execute("apputils:notify", { message, type: "info", options: { autoClose: 5000 } }));
};

const tidy = (app) => {
  const lessons = pages(app).filter((panel) => panel.context.path.split("/").pop() !== START);
  lessons.sort((one, other) => (other.coldcabSeen ?? 0) - (one.coldcabSeen ?? 0));
  for (const panel of lessons.slice(MOST))
    if (!panel.isVisible && panel.context.isReady)
      giveWay(app, panel).catch((error) => console.info("coldcab:", error));
};

export default {
  name: "tabs",
  activate: (app) => {
    const seen = () => {
      const panel = app.shell.currentWidget;
      if (!panel?.context) return;
      panel.coldcabSeen = Date.now();
      panel.context.ready.then(() => attempt(() => tidy(app)));
    };
    app.shell.currentChanged?.connect(seen);
    app.restored.then(() => attempt(seen));
  },
};
