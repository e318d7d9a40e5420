/* A start that is never lost.

   Run before the page has its kernel, JupyterLab begins a kernel of its own for the run; the one that was on its way
   already then ends it, and what was run goes with it, without a word. So a start waits for the page's kernel, and it is
   kept until the first cell has really run in the kernel that the page has then. */
import { attempt, setTo, style } from "./common.js";

const START = "coldcab:start-lesson";
const RUN = "notebook:run-all-cells";
const LONGEST = 60_000; // ms that a start is kept
const OFTEN = 200; // ms between two looks
const LOST = 2_000; // ms that a kernel rests without having run the first cell; then the start never reached it

const wait = (time) => new Promise((resolve) => setTimeout(resolve, time));

const kernelOf = (panel) => {
  const { session, isTerminating } = panel.sessionContext;
  return isTerminating || session?.kernel?.status === "dead" ? undefined : session?.kernel;
};

/** The page's kernel as soon as it is there; where none is coming any more, a new one. */
const kernelThere = async (panel, until) => {
  const context = panel.sessionContext;
  await Promise.race([context.ready, wait(until - Date.now())]);
  let asked = false;
  while (!kernelOf(panel) && Date.now() < until && !panel.isDisposed) {
    if (!asked && !context.isTerminating) {
      asked = true;
      await attempt(() => context.startKernel?.())?.catch?.(() => {});
    }
    await wait(OFTEN);
  }
  return kernelOf(panel);
};

/** Whether the first cell comes to have run in this kernel; false where the kernel went, or never heard of it. */
const hasRun = async (panel, kernel, until) => {
  const first = panel.content.widgets.find((cell) => cell.model.type === "code");
  let rests = 0;
  while (first && Date.now() < until && !panel.isDisposed) {
    await wait(OFTEN);
    if (kernelOf(panel) !== kernel) return false;
    if (first.model.executionCount !== null) return true;
    rests = kernel.status === "idle" ? rests + OFTEN : 0;
    if (rests > LOST) return false;
  }
  return true;
};

const show = (panel, waits) => {
  panel.node.classList.toggle("coldcab-waits", waits);
  const button = panel.node.querySelector("[data-jp-item-name='start-lesson'] jp-button");
  if (button) setTo(button, "aria-busy", String(waits));
};

/** Run the page from its top, however early it was asked for. */
const start = async (app, panel) => {
  if (!panel?.content?.widgets || panel.coldcabStarts) return;
  const until = Date.now() + LONGEST;
  panel.coldcabStarts = true;
  show(panel, true);
  try {
    while (Date.now() < until && !panel.isDisposed) {
      const kernel = await kernelThere(panel, until);
      // Who has gone to another page meanwhile finds this one started on the way back.
      if (!kernel || app.shell.currentWidget !== panel) await wait(OFTEN);
      else {
        const first = panel.content.widgets.find((cell) => cell.model.type === "code");
        if (first) first.model.executionCount = null; // a count from before says nothing
        attempt(() => app.commands.execute(RUN).catch((error) => console.info("coldcab:", error)));
        if (await hasRun(panel, kernel, until)) break;
      }
    }
  } finally {
    panel.coldcabStarts = false;
    if (!panel.isDisposed) show(panel, false);
  }
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
    app.commands.addCommand(START, {
      label: "Start this lesson",
      execute: () => start(app, app.shell.currentWidget),
    });
    app.commands.addKeyBinding({ command: START, keys: ["Accel Shift Enter"], selector: "body" });
    app.commands.commandExecuted.connect((_, { id }) => {
      if (id === RUN) attempt(() => stay(app.shell.currentWidget));
    });
  },
};
