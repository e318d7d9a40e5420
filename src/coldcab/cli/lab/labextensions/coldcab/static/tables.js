/* Tables on a phone: one that is wider than the page is told row by row, each cell under the name of its column. */
import { attempt, onPages } from "./common.js";

const NARROW = 700; // px

const tell = (table) => {
  table.classList.remove("coldcab-told");
  if (window.innerWidth >= NARROW || table.closest(".coldcab-canvas, .coldcab-sheet")) return;
  const room = table.closest(".jp-RenderedHTMLCommon, .jp-OutputArea-output");
  if (!room || table.offsetWidth <= room.clientWidth + 1) return;
  const heads = [...(table.tHead?.rows[0]?.cells ?? [])].map((cell) => cell.textContent.trim());
  for (const body of table.tBodies)
    for (const row of body.rows)
      [...row.cells].forEach((cell, place) => {
        if (heads[place]) cell.dataset.head = heads[place];
      });
  table.classList.add("coldcab-told");
};

export default {
  name: "tables",
  activate: (app) => {
    const tables = (panel) => panel.node.querySelectorAll(":is(.jp-RenderedHTMLCommon, .jp-RenderedHTML) table");
    onPages(app, { settled: (panel) => tables(panel).forEach((table) => attempt(() => tell(table))) });
  },
};
