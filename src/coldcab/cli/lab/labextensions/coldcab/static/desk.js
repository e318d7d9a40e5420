/* The desk on the first page: it shows itself, is fresh whenever it is seen again, and its links open lessons here. */
import { attempt } from "./common.js";

const START = "start-here.ipynb";
const OWN = ["%load_ext coldcab", "%cover", "%desk", "%enroll"]; // what runs by itself; anything else waits for Start
const REFRESH = "__import__('coldcab.desk.widget', fromlist=['refresh']).refresh()";
const LINK = /^(?![a-z]+:|\/)([^?#]+\.ipynb)(#.*)?$/i;

const isStart = (panel) => panel?.context?.path.split("/").pop() === START && panel.content?.widgets !== undefined;

const onlyOwn = (panel) =>
  panel.content.widgets
    .filter((cell) => cell.model.type === "code")
    .every((cell) => OWN.includes(cell.model.sharedModel.getSource().trim()));

/** Run the page the first time it is seen, bring it up to date each time after that. */
const show = async (app, panel) => {
  await panel.context.ready;
  await panel.sessionContext.ready;
  const kernel = panel.sessionContext.session?.kernel;
  if (!kernel || app.shell.currentWidget !== panel) return;
  if (panel.coldcabDesk === kernel.id) {
    kernel.requestExecute({ code: REFRESH, silent: true, store_history: false });
  } else if (onlyOwn(panel)) {
    panel.coldcabDesk = kernel.id;
    await app.commands.execute("coldcab:start-lesson");
  }
};

/** Resolve a relative path as seen from a file of the course. */
const resolve = (from, to) => decodeURI(new URL(encodeURI(to), `http://here/${encodeURI(from)}`).pathname.slice(1));

const follow = (app, event) => {
  const link = event.target.closest?.(".jupyter-widgets a[href]");
  const found = link && LINK.exec(link.getAttribute("href"));
  if (!found || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const panel = [...app.shell.widgets("main")].find((widget) => widget.node.contains(link));
  if (!panel?.context) return;
  event.preventDefault();
  event.stopPropagation();
  open(app, resolve(panel.context.path, found[1]), found[2]);
};

const open = async (app, path, fragment) => {
  const panel = await app.commands.execute("docmanager:open", { path, factory: "Notebook" });
  if (!fragment || !panel) return;
  await panel.context.ready;
  // Its text is drawn a moment later.
  setTimeout(() => attempt(() => panel.setFragment(fragment)), 600);
};

const print = (event) => {
  const sheet = event.target.closest?.(".coldcab-print-button")?.parentElement.querySelector(".coldcab-print");
  const page = sheet && window.open("", "_blank");
  if (!page) return;
  page.document.write(`<!doctype html><meta charset="utf-8"><title>coldcab</title><body>${sheet.innerHTML}</body>`);
  page.document.close();
  page.print();
};

export default {
  name: "desk",
  activate: (app) => {
    const seen = () => {
      const panel = app.shell.currentWidget;
      if (isStart(panel)) attempt(() => show(app, panel).catch((error) => console.info("coldcab:", error)));
    };
    app.shell.currentChanged?.connect(seen);
    app.restored.then(seen);
    document.addEventListener("click", (event) => attempt(() => follow(app, event)), true);
    document.addEventListener("click", (event) => attempt(() => print(event)));
  },
};
