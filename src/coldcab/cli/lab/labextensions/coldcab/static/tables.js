/* Tables on a phone: one that is wider than the page is told row by row, each cell under the name of its column. */
import { attempt, onPages } from "./common.js";

const NARROW = 700; // px

const tell = (table) => {
  table.classList.remove("coldcab-told");
  if (window.innerWidth >= NARROW || table.closest(".coldcab-canvas, .coldcab-sheet")) return;
  const room = table.closest(".jp-RenderedHTMLCommon, .jp-OutputArea-output");
  if (!room || table.offsetWidth <= room.clientWidth + 1) return;
  const first = table.tHead?.rows[0] ?? table.rows[0];
  const heads = [...(first?.cells ?? [])];
  if (!heads.every((cell) => cell.tagName === "TH")) return; // without names of columns a row alone tells nothing
  first.classList.add("coldcab-heads");
  for (const row of table.rows)
    if (row !== first)
      [...row.cells].forEach((cell, place) => {
        cell.dataset.head = heads[place]?.textContent.trim() ?? "";
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
