/* A page of which the learner has a copy of their own may have a new edition on the site: keep mine, or take the new one. */
import { onPages } from "./page.js";

/** As `coldcab.site.editions.mark` has it. */
const mark = (text) => {
  let value = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) value = Math.imul(value ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return value.toString(16).padStart(8, "0");
};

const sources = (notebook) => notebook.cells.map((cell) => [cell.source].flat().join("")).join("\0");

const delivered = async (path) => {
  const answer = await fetch(new URL(`../files/${path.split("/").map(encodeURIComponent).join("/")}`, location.href));
  return answer.ok ? answer.json() : null;
};

const ask = (panel, work) => {
  const bar = Object.assign(document.createElement("div"), { className: "coldcab-edition" });
  bar.setAttribute("role", "alert");
  const button = (words, act) => {
    const made = Object.assign(document.createElement("button"), { textContent: words, type: "button" });
    made.addEventListener("click", async () => {
      bar.remove();
      await act();
    });
    return made;
  };
  bar.append(
    "This page has a new edition. ",
    button("Keep mine", work.keep),
    button("Take the new one", work.take),
    " Yours is set aside under another name; nothing you wrote is lost.",
  );
  document.body.append(bar);
  panel.disposed.connect(() => bar.remove());
};

const look = async (app, panel) => {
  await panel.context.ready;
  const { contents } = app.serviceManager;
  const { path, model } = panel.context;
  const mine = model.toJSON();
  const known = mine.metadata.coldcab;
  const fresh = known && (await delivered(path).catch(() => null));
  const edition = fresh?.metadata.coldcab?.edition;
  if (!edition || edition === known.edition || known.kept === edition) return;
  const take = async () => {
    model.fromJSON(fresh);
    await panel.context.save();
  };
  if (mark(sources(mine)) === known.sources) return take(); // nothing was written in it
  const name = path.replace(/\.ipynb$/, ` (mine, ${new Date().toISOString().slice(0, 10)}).ipynb`);
  ask(panel, {
    keep: async () => {
      model.setMetadata("coldcab", { ...known, kept: edition });
      await panel.context.save();
    },
    take: async () => {
      await contents.save(name, { type: "notebook", format: "json", content: mine, name: name.split("/").pop() });
      await take();
    },
  });
};

export default {
  name: "editions",
  activate: (app) => onPages(app, (panel) => look(app, panel)),
};
