/* One page at a time and one kernel for the whole visit; the page says how far the kernel is and can be read meanwhile. */
import { asBase64, everything, onKernel } from "./folder.js";

const LONG = 90_000; // ms in one stage; then something has gone wrong
const MODULE = "coldcab.site.in_browser";

let shared; // the kernel's id, once there is one
let given = false; // whether it has the learner's files

const WORDS = {
  fetching: "You can read this page now. Its instruments are being fetched, some 18 MB at the first visit.",
  starting: "You can read this page now. Its instruments are starting.",
  late:
    "This takes longer than it should. If the connection was lost, load this page again; what you wrote is kept. " +
    "The page can be read without its instruments.",
};

// --- How far it is ---------------------------------------------------------------------------------------------

const strip = Object.assign(document.createElement("div"), { id: "coldcab-stage" });
strip.setAttribute("role", "status");
let began, clock;

const say = (stage) => {
  clearInterval(clock);
  document.body.dataset.coldcab = stage;
  if (stage === "ready") return strip.remove();
  if (!strip.isConnected) document.body.append(strip);
  began = Date.now();
  const number = stage === "fetching" ? 1 : 2;
  const show = () => {
    const seconds = Math.round((Date.now() - began) / 1000);
    strip.textContent =
      seconds * 1000 > LONG ? WORDS.late : `${WORDS[stage]} Step ${number} of 2, ${seconds} s.`;
  };
  show();
  clock = setInterval(show, 1000);
};

// --- The kernel and its files ------------------------------------------------------------------------------------

const run = (kernel, code) =>
  kernel.requestExecute({ code, silent: true, store_history: false, allow_stdin: false }).done;

const call = (files, folder) =>
  `import ${MODULE} as _; _.begin(${JSON.stringify(JSON.stringify(files))}, ${JSON.stringify(folder)}); del _`;

const folderOf = (path) => path.split("/").slice(0, -1).join("/");

/** Before anything of a page runs: the learner's files, once, and the page's folder. */
const greet = (panel, files) => {
  const kernel = panel.sessionContext.session?.kernel;
  if (!kernel) return;
  shared = kernel.id;
  stopAtError(kernel);
  answerExpressions(kernel);
  run(kernel, call(given ? {} : files, folderOf(panel.context.path)));
  given = true;
};

/** A page that is left is saved and closed; its kernel goes on for the next page. */
const leave = async (panel) => {
  if (panel.context.model?.dirty) await panel.context.save().catch((error) => console.info("coldcab:", error));
  panel.dispose();
};

const adopt = (app, panel) => {
  const session = panel.sessionContext;
  const initialize = session.initialize.bind(session);
  let prepared;
  const ready = new Promise((resolve) => (prepared = resolve));
  session.initialize = async () => {
    const others = [...app.shell.widgets("main")].filter((other) => other !== panel && other.sessionContext);
    await Promise.all(others.map(leave));
    if (shared) session.kernelPreference = { ...session.kernelPreference, id: shared, shouldStart: true };
    const files = given ? {} : await everything(app.serviceManager.contents);
    session.kernelChanged.connect((_, { newValue }) => {
      if (newValue && newValue.id !== shared) given = false;
      if (newValue) greet(panel, files);
    });
    prepared();
    return initialize();
  };
  // Pressed early, Start has JupyterLab begin a kernel beside the one that is coming: all who ask get the same one.
  const start = session.startKernel.bind(session);
  let starting;
  session.startKernel = () => {
    starting ??= ready.then(start).finally(() => (starting = undefined));
    return starting;
  };
};

/** What a page saves, the kernel sees, and before it is asked for anything else. */
const share = (app) =>
  app.serviceManager.contents.fileChanged.connect((_, { type, newValue }) => {
    const panel = app.shell.currentWidget;
    const kernel = panel?.sessionContext?.session?.kernel;
    if (type !== "save" || !kernel || panel.context.path !== newValue?.path) return;
    const data = asBase64(JSON.stringify(panel.context.model.toJSON(), null, 1));
    run(kernel, `import ${MODULE} as _; _.take(${JSON.stringify(newValue.path)}, "${data}"); del _`);
  });

/** A line that cannot be read stops the rest of the page; this kernel forgets the rest without a word, and its stars
    would stay. So they are taken back here. */
const stopAtError = (kernel) => {
  const request = kernel.requestExecute.bind(kernel);
  const waiting = new Set();
  kernel.requestExecute = (...asked) => {
    const future = request(...asked);
    waiting.add(future);
    const end = (reply) => {
      waiting.delete(future);
      if (reply?.content.status === "error") [...waiting].forEach((other) => other.dispose());
    };
    future.done.then(end, () => end());
    return future;
  };
};

/** This kernel answers no expressions beside the code; so it shows the first one, and the page takes it from there. */
const answerExpressions = (kernel) => {
  const request = kernel.requestExecute.bind(kernel);
  kernel.requestExecute = (content, ...more) => {
    const [asked] = Object.entries(content.user_expressions ?? {});
    if (!asked) return request(content, ...more);
    const [name, expression] = asked;
    const { user_expressions: _, ...plain } = content;
    const future = request({ ...plain, code: `from IPython.display import display as _; _(${expression}); del _` });
    const found = {};
    future.onIOPub = ({ header, content: { data } }) => {
      if (header.msg_type === "display_data") found[name] = { status: "ok", data };
    };
    return { done: future.done.then((reply) => ({ ...reply, content: { ...reply.content, user_expressions: found } })) };
  };
};

// --- The address --------------------------------------------------------------------------------------------------

const FIRST = "start-here.ipynb";

/** The address names the page in front, so that a reload, a bookmark and the way back find it. */
const follow = (app) => {
  const named = () => new URL(location.href).searchParams.get("page");
  const shown = () => app.shell.currentWidget?.context?.path;
  const open = (path) => app.commands.execute("docmanager:open", { path });
  app.restored.then(() => open(named() || FIRST));
  app.shell.currentChanged?.connect(() => {
    if (!shown() || shown() === named()) return;
    const address = new URL(location.href);
    address.searchParams.set("page", shown());
    history.pushState(null, "", address);
  });
  window.addEventListener("popstate", () => named() && named() !== shown() && open(named()));
};

export default {
  name: "kernel",
  activate: (app) => {
    say("fetching");
    onKernel(({ stage }) => stage && document.body.dataset.coldcab !== "ready" && say(stage));
    app.docRegistry.addWidgetExtension("Notebook", { createNew: (panel) => adopt(app, panel) });
    share(app);
    follow(app);
  },
};
