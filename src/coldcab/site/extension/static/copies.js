/* Where the work lies, a copy of it to keep, and what is to be handed in: files that leave the browser. */
import { bytes, download, everything, onKernel, put } from "./folder.js";

const LEAVES = /^(hand-in\/[^/]+\.ipynb|.*\.(html|pdf|toml|csv))$/; // what the kernel makes to be taken away
const COPIED = "coldcab: copied"; // when the last copy was saved
const OFTEN = 7 * 24 * 3600 * 1000; // ms after which a copy is old

const WHERE =
  "Your id, answers and progress are kept in this browser, on this device, and nowhere else. Another browser does not " +
  "see them, and clearing the browser's data erases them. Save a copy at the end of an evening.";
const LOST =
  "This browser keeps nothing here: it is a private window, or its storage is switched off. Save a copy before you close it.";

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

const saveCopy = async (app) => {
  const current = app.shell.currentWidget;
  if (current?.context?.model?.dirty) await current.context.save();
  const files = await everything(app.serviceManager.contents);
  const day = new Date().toISOString().slice(0, 10);
  download(`coldcab-my-work-${day}.json`, JSON.stringify({ coldcab: 1, files }), "application/json");
  localStorage.setItem(COPIED, String(Date.now()));
};

const bringBack = async (app, file) => {
  const { coldcab, files } = JSON.parse(await file.text());
  if (coldcab !== 1) throw new Error("no copy");
  for (const [path, data] of Object.entries(files)) {
    if (path.split("/").includes("..")) continue;
    await put(app.serviceManager.contents, path, data);
  }
  location.reload();
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
  made.querySelector("input").addEventListener("change", ({ target }) =>
    bringBack(app, target.files[0]).catch(() => {
      said.textContent = "This file is no copy of your work; choose one whose name begins with coldcab-my-work.";
    }),
  );
  made.addEventListener("close", () => made.remove());
  document.body.append(made);
  made.showModal();
};

/** Once a week, and only for somebody who has written something. */
const remind = () => {
  const last = Number(localStorage.getItem(COPIED)) || Number(localStorage.getItem(`${COPIED} asked`));
  if (!last) return localStorage.setItem(`${COPIED} asked`, String(Date.now()));
  if (Date.now() - last > OFTEN) document.body.classList.add("coldcab-copy-is-old");
};

export default {
  name: "copies",
  activate: (app) => {
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
