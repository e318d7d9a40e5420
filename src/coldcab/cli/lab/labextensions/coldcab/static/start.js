/* A start that is never lost. */
import { attempt, style } from "./common.js";

const STARTING = ["notebook:run-all-cells", "notebook:run-cell"]; // behind "Start this lesson" and "Check this sheet"
const LONGEST = 60_000; // ms that a kernel may take to come up
const OFTEN = 200; // ms between two looks

const kernel = (panel) => panel.sessionContext.session?.kernel;

/** JupyterLab drops what is started before the page has a kernel, without a word. (What is started while the kernel is
    still being reached it keeps.) Start it again once the kernel is there. */
const startLater = (app, id) => {
  const panel = app.shell.currentWidget;
  if (!STARTING.includes(id) || !panel?.sessionContext || panel.coldcabWaits || kernel(panel)) return;
  panel.coldcabWaits = true;
  panel.node.classList.add("coldcab-waits");
  const until = Date.now() + LONGEST;
  const look = () => {
    if (!kernel(panel) && Date.now() < until && !panel.isDisposed) return setTimeout(look, OFTEN);
    panel.coldcabWaits = false;
    panel.node.classList.remove("coldcab-waits");
    if (kernel(panel) && app.shell.currentWidget === panel) attempt(() => app.commands.execute(id));
  };
  setTimeout(look, OFTEN);
};

const LOOK = 2_000; // ms after which a start has left a trace

const codeCells = (panel) => panel.content.widgets.filter((cell) => cell.model.type === "code");

const hasRun = (cell) => cell.model.executionCount !== null;

const waits = (cell) => cell.node.querySelector(".jp-InputPrompt")?.textContent.includes("*");

/** A kernel that is taken away while it is being reached takes with it what was started, without a word, and may leave
    the cell's star. Where the kernel rests and the first cell has not run, start again; so long as a kernel may take. */
const makeSure = (app, panel, until = Date.now() + LONGEST, rested = false) => {
  const cells = panel?.content?.widgets ? codeCells(panel) : [];
  if (!cells.length || Date.now() > until) return;
  setTimeout(() => {
    if (panel.isDisposed || app.shell.currentWidget !== panel || hasRun(cells[0])) return;
    const rests = kernel(panel)?.status === "idle";
    if (rests && (rested || !waits(cells[0]))) attempt(() => app.commands.execute("notebook:run-all-cells"));
    else makeSure(app, panel, until, rests);
  }, LOOK);
};

const STILL = 500; // ms in which JupyterLab may jump; what moves the page later is a reader's aid or a link
const HANDS = ["wheel", "touchstart", "pointerdown", "keydown"];

/** JupyterLab jumps to the last cell when all are run; whoever starts a page goes on reading where they were. */
const stay = (panel) => {
  const outer = panel?.content?.node.querySelector(".jp-WindowedPanel-outer");
  if (!outer) return;
  const top = outer.scrollTop;
  const back = () => {
    if (outer.scrollTop !== top) outer.scrollTop = top;
  };
  const end = () => {
    outer.removeEventListener("scroll", back);
    HANDS.forEach((hand) => window.removeEventListener(hand, end, true));
  };
  outer.addEventListener("scroll", back);
  HANDS.forEach((hand) => window.addEventListener(hand, end, true));
  setTimeout(end, STILL);
  back();
};

export default {
  name: "start",
  activate: (app) => {
    style(import.meta.url);
    app.commands.commandExecuted.connect((_, { id }) => attempt(() => startLater(app, id)));
    app.commands.commandExecuted.connect((_, { id }) => {
      if (id !== "notebook:run-all-cells") return;
      attempt(() => stay(app.shell.currentWidget));
      attempt(() => makeSure(app, app.shell.currentWidget));
    });
  },
};
