/* Where the work lies, a copy of it to keep, and what is to be handed in: files that leave the browser. */
import { asBase64, bytes, download, everything, onKernel, onRefusal, put } from "./folder.js";
import { notice } from "./notices.js";

const LEAVES = /^(hand-in\/[^/]+\.ipynb|.*\.(html|pdf|toml|csv))$/; // what the kernel makes to be taken away
const COPIED = "coldcab: copied"; // when the last copy was saved
const OFTEN = 7 * 24 * 3600 * 1000; // ms after which a copy is old

const WHERE =
  "Your id, answers and progress are kept in this browser, on this device, under this address, and nowhere else. " +
  "Another browser does not see them, and clearing the browser's data erases them. Some phones and tablets erase them " +
  "by themselves when you stay away for a week. Save a copy at the end of an evening.";
const LOST =
  "This browser keeps nothing here: its storage is switched off. You can work, but all of it is gone when you close or " +
  "reload this page. Save a copy first; another browser takes it.";
const FULL =
  "This browser could not keep what you wrote last: its storage is full or was switched off. It is gone when you close or " +
  "reload this page. Save a copy now, and make room on the device.";

const keeps = () =>
  new Promise((resolve) => {
    try {
      localStorage.setItem("coldcab: try", "1");
      const request = indexedDB.open("coldcab: try");
      request.onsuccess = () => resolve(true);
      request.onerror = () => resolve(false);
    } catch {
      resolve(false);
    }
  });

/** What is kept, with the page in front as it stands there, kept or not. */
const saveCopy = async (app) => {
  const files = await everything(app.serviceManager.contents);
  const { path, model } = app.shell.currentWidget?.context ?? {};
  if (model && path.endsWith(".ipynb")) files[path] = asBase64(JSON.stringify(model.toJSON(), null, 1));
  const day = new Date().toISOString().slice(0, 10);
  download(`coldcab-my-work-${day}.json`, JSON.stringify({ coldcab: 1, files }), "application/json");
  remember(COPIED);
};

const NO_COPY = "This file is no copy of your work; choose one whose name begins with coldcab-my-work.";
const NO_ROOM = "This browser cannot keep the copy: its storage is full or switched off. Take another browser.";

const filesOf = async (file) => {
  const { coldcab, files } = JSON.parse(await file.text());
  if (coldcab !== 1) throw new Error("no copy");
  return Object.entries(files).filter(([path]) => !path.split("/").includes(".."));
};

/** Take a copy's files; returns why not, where it does not go. */
const bringBack = async (app, file) => {
  const files = await filesOf(file).catch(() => null);
  if (!files) return NO_COPY;
  if (!(await keeps())) return NO_ROOM;
  let said = "";
  const stop = onRefusal(() => (said = NO_ROOM));
  for (const [path, data] of files) await put(app.serviceManager.contents, path, data).catch(() => (said = NO_ROOM));
  stop();
  if (!said) location.reload();
  return said;
};

const dialog = async (app) => {
  const made = document.createElement("dialog");
  made.id = "coldcab-work";
  made.innerHTML = `<h2>Your work</h2><p class="where"></p>
    <p><button type="button" class="save">Save a copy</button></p>
    <p><label>Bring back a copy: <input type="file" accept=".json"></label></p>
    <p class="said" role="status"></p><form method="dialog"><button>Close</button></form>`;
  made.querySelector(".where").textContent = (await keeps()) ? WHERE : LOST;
  const said = made.querySelector(".said");
  made.querySelector(".save").addEventListener("click", async () => {
    await saveCopy(app);
    said.textContent = "The copy lies in your downloads. “Bring back a copy” takes it, here or in another browser.";
  });
  made.querySelector("input").addEventListener("change", async ({ target }) => {
    said.textContent = await bringBack(app, target.files[0]);
  });
  made.addEventListener("close", () => made.remove());
  document.body.append(made);
  made.showModal();
};

const remember = (name) => {
  try {
    localStorage.setItem(name, String(Date.now()));
  } catch (error) {
    console.info("coldcab:", error);
  }
};

/** Once a week, and only for somebody who has written something. */
const remind = () => {
  const last = Number(localStorage.getItem(COPIED)) || Number(localStorage.getItem(`${COPIED} asked`));
  if (!last) return remember(`${COPIED} asked`);
  if (Date.now() - last > OFTEN) document.body.classList.add("coldcab-copy-is-old");
};

/** Nobody shall find out at the next visit that nothing was kept. */
const warn = async (app) => {
  const say = (words) => notice("storage", words, { "Save a copy": () => saveCopy(app), "I see": null });
  let words = FULL;
  onRefusal(() => say(words));
  app.docRegistry.addWidgetExtension("Notebook", {
    createNew: ({ context }) => {
      context.saveState.connect((_, state) => state === "failed" && say(words));
    },
  });
  if (await keeps()) return;
  words = LOST;
  say(words);
};

export default {
  name: "copies",
  activate: (app) => {
    warn(app);
    app.commands.addCommand("coldcab:work", {
      label: "Your work",
      caption: "Where your work is kept, and how to save a copy of it",
      execute: () => dialog(app),
    });
    onKernel(({ path, content }) => {
      if (path && LEAVES.test(path)) download(path.split("/").pop(), bytes(content));
    });
    navigator.storage?.persist?.(); // asks the browser not to clear it when space runs short
    try {
      remind();
    } catch (error) {
      console.info("coldcab:", error);
    }
  },
};
