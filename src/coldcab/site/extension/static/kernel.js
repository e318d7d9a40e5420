/* One page at a time and one kernel for the whole visit; the page says how far the kernel is and can be read meanwhile. */
import { asBase64, everything, onKernel, TAB } from "./folder.js";
import { notice, takeAway } from "./notices.js";

const LONG = 90_000; // ms in one stage; then something has gone wrong
const MODULE = "coldcab.site.in_browser";

let shared; // the kernel's id, once there is one
let given = false; // whether it has the learner's files

const WORDS = {
  fetching: "You can read this page now. Its instruments are being fetched; the first visit takes longest.",
  starting: "You can read this page now. Its instruments are starting.",
  late: "This takes longer than it should. If the connection was lost, load this page again; what you wrote is kept.",
  failed:
    "The instruments could not be fetched. Make sure that there is a connection, then load this page again; what you " +
    "wrote is kept. Until then the page can be read without its instruments.",
  old:
    "This browser cannot run the instruments: it is too old, or a setting keeps programs (WebAssembly) from running. " +
    "The page can be read without them; another browser may run them.",
};

// --- How far it is ---------------------------------------------------------------------------------------------

let began, clock;

const AGAIN = { "Load again": () => location.reload() };

const say = (stage) => {
  clearInterval(clock);
  document.body.dataset.coldcab = stage;
  if (stage === "ready") return takeAway("stage");
  if (stage === "failed") return notice("stage", WORDS.failed, AGAIN);
  if (stage === "old") return notice("stage", WORDS.old);
  began = Date.now();
  const number = stage === "fetching" ? 1 : 2;
  const show = () => {
    const seconds = Math.round((Date.now() - began) / 1000);
    if (seconds * 1000 < LONG) return notice("stage", `${WORDS[stage]} Step ${number} of 2, ${seconds} s.`, {}, "status");
    clearInterval(clock);
    notice("stage", WORDS.late, AGAIN);
  };
  show();
  clock = setInterval(show, 1000);
};

const FETCHING = /runtime\/|fetch|load failed|network|No module named/i; // as browsers and Python call what did not come

/** Nobody catches it when a part of the runtime does not come. */
const hearFailures = () =>
  window.addEventListener("unhandledrejection", ({ reason }) => {
    const begins = ["fetching", "starting"].includes(document.body.dataset.coldcab);
    if (begins && FETCHING.test(String(reason?.message ?? reason))) say("failed");
  });

// --- The kernel and its files ------------------------------------------------------------------------------------

const run = (kernel, code) =>
  kernel.requestExecute({ code, silent: true, store_history: false, allow_stdin: false }).done;

const call = (files, folder) =>
  `import ${MODULE} as _; _.begin(${[JSON.stringify(files), folder, TAB].map(JSON.stringify).join(", ")}); del _`;

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

/** A line that cannot be read stops the rest of the page; this kernel forgets the rest without a word: its stars would
    stay, and the page would call the kernel busy for ever. So both are taken back here. */
const stopAtError = (kernel) => {
  const request = kernel.requestExecute.bind(kernel);
  const waiting = new Set();
  kernel.requestExecute = (...asked) => {
    const future = request(...asked);
    waiting.add(future);
    const end = (reply) => {
      waiting.delete(future);
      if (reply?.content.status !== "error") return;
      for (const other of [...waiting]) {
        other.dispose();
        const msg = {
          channel: "iopub",
          header: { msg_type: "status" },
          parent_header: other.msg.header,
          content: { execution_state: "idle" },
        };
        kernel.anyMessage.emit({ direction: "recv", msg });
      }
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

const missing = (path) =>
  `There is no page “${path}” in this course; it may have been renamed. Here is the list of all lessons.`;

/** Open a page, or where there is none of that name, the first one with a word about it. */
const openOrSay = async (app, path) => {
  const found = await app.serviceManager.contents.get(path, { content: false }).catch(() => null);
  if (found?.type !== "notebook") notice("missing", missing(path), { "I see": null });
  return app.commands.execute("docmanager:open", { path: found?.type === "notebook" ? path : FIRST });
};

/** The address names the page in front, so that a reload, a bookmark and the way back find it. */
const follow = (app) => {
  const named = () => new URL(location.href).searchParams.get("page");
  const shown = () => app.shell.currentWidget?.context?.path;
  const open = (path) => openOrSay(app, path);
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
    say(typeof WebAssembly === "object" ? "fetching" : "old");
    hearFailures();
    onKernel(({ stage }) => stage && document.body.dataset.coldcab !== "ready" && say(stage));
    app.docRegistry.addWidgetExtension("Notebook", { createNew: (panel) => adopt(app, panel) });
    share(app);
    follow(app);
  },
};
