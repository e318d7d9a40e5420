/* A new version of the site: whoever still has the former one, from a bookmark, a tab left open or the browser's store,
   comes to the new one. A page of which the learner has a copy of their own may have a new edition in it: keep mine, or
   take the new one. */
import { notice, takeAway } from "./notices.js";
import { onPages } from "./page.js";

/** Where the same page lies in the site's version of the day, or null where this is it or nobody can be asked. */
const newer = async () => {
  try {
    const root = new URL("../../", location.href);
    const { path } = await (await fetch(new URL("coldcab-site.json", root), { cache: "no-store" })).json();
    const place = new URL(`${path}/lab/index.html${location.search}`, root);
    return place.pathname === location.pathname ? null : place;
  } catch {
    return null;
  }
};

const NEWER = "The course has a new version. What you wrote is kept. ";

/** At once where nothing has been opened yet; a tab that comes into view again later is asked. */
const keepUp = async (app) => {
  const place = await newer();
  if (place) return location.replace(place);
  document.addEventListener("visibilitychange", async () => {
    const later = document.visibilityState === "visible" && (await newer());
    if (!later) return;
    const go = async () => {
      const { context } = app.shell.currentWidget ?? {};
      if (context?.model?.dirty) await context.save();
      location.replace(later);
    };
    notice("version", NEWER, { "Go to it": go, "Not now": null });
  });
};

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
  notice(
    "edition",
    "This page has a new edition. If you take it, yours is set aside under another name; nothing you wrote is lost. ",
    { "Keep mine": work.keep, "Take the new one": work.take },
  );
  panel.disposed.connect(() => takeAway("edition"));
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
  activate: (app) => {
    onPages(app, (panel) => look(app, panel));
    keepUp(app);
  },
};
