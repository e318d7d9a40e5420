/* The numbers of a sheet beside its lines: in view, and turned to those that the line under the cursor is about.

   Above the sheet they stand once more, whole; where they are long, only their beginning shows until somebody asks. */
import { attempt, element, onPages, setTo, style } from "./common.js";

const WIDE = 860; // px; from here on the numbers stand beside the lines
const NOW = "coldcab-now"; // the rows that the line is about
const [SHOW, HIDE] = ["Show numbers", "Hide numbers"];
const ABOVE = 24; // px that stay in sight above them

const made = (tag, className, children = []) => Object.assign(element(tag, "", children), { className });

export class Numbers {
  constructor(panel, cell) {
    this.panel = panel;
    this.cell = cell;
    this.card = made("div", "coldcab-numbers-card");
    this.aside = made("aside", "coldcab-numbers", [this.card]);
    this.aside.tabIndex = 0;
    this.aside.setAttribute("aria-label", "The numbers of this sheet");
    this.turn = Object.assign(element("button", SHOW), { type: "button", className: "coldcab-turn" });
    this.turn.addEventListener("click", () => attempt(() => this.show(this.aside.hidden)));
    this.met = false; // whether numbers have been here
    this.rows = [];
    this.show(false);
    this.turn.hidden = true;
    this.size = new ResizeObserver(() => {
      cell.node.classList.toggle("coldcab-wide", this.wide);
      if (panel.content.node.clientWidth) this.bring(); // a page that was behind another one has lost its place
    });
    this.size.observe(panel.content.node);
  }

  get wide() {
    return this.panel.content.node.clientWidth >= WIDE;
  }

  show(shown) {
    this.aside.hidden = !shown;
    this.turn.setAttribute("aria-expanded", String(shown));
    this.turn.textContent = shown ? HIDE : SHOW;
    this.cell.node.classList.toggle("coldcab-open", shown);
    if (shown) this.bring();
  }

  /** Put these numbers up, where they are others than before. */
  put(html) {
    if (this.html !== html) {
      this.html = html;
      this.card.innerHTML = html;
      this.bring();
    }
    this.turn.hidden = !html;
    if (!html) this.show(false);
    else if (!this.met) {
      this.met = true;
      this.show(this.wide);
    }
  }

  /** The line under the cursor is about these rows; a reader's own scroll stays until it is about others. */
  about(rows) {
    if (!rows.length || rows.join() === this.rows.join()) return;
    this.rows = rows;
    this.bring();
  }

  /** Mark these rows, and move the numbers where not all of them are in sight. */
  bring() {
    const all = [...this.card.querySelectorAll("tr")];
    const mine = this.rows.map((row) => all[row]).filter(Boolean);
    all.forEach((row) => row.classList.toggle(NOW, mine.includes(row)));
    if (!mine.length || this.aside.hidden) return;
    const room = this.card.getBoundingClientRect();
    const top = mine[0].getBoundingClientRect().top - room.top;
    const bottom = mine.at(-1).getBoundingClientRect().bottom - room.top;
    if (top < 0 || bottom > room.height) this.card.scrollTop += top - ABOVE;
  }

  stop() {
    this.size.disconnect();
  }
}

// --- Above the sheet ---------------------------------------------------------------------------------------------

const SHOWS = /^%(practice|sheet)\b/m;
const CARDS = ".jp-OutputArea :is(.widget-html-content, .jp-RenderedHTMLCommon) > div";
const LONG = 640; // px; a card above it is folded
const LESS = "Show fewer rows";

const whole = new WeakSet(); // cells whose numbers somebody wants to see whole

const fold = (cell) => {
  for (const card of cell.node.querySelectorAll(CARDS)) {
    const rows = card.querySelectorAll("tr").length;
    if (!rows || card.dataset.coldcab || card.offsetHeight < LONG) continue;
    card.dataset.coldcab = "long";
    const turn = Object.assign(element("button"), { type: "button", className: "coldcab-show-all" });
    const show = () => {
      const all = whole.has(cell);
      card.classList.toggle("coldcab-long", !all);
      turn.textContent = all ? LESS : `Show all ${rows} rows; they also stand beside the lines below`;
      setTo(turn, "aria-expanded", String(all));
    };
    turn.addEventListener("click", () => {
      if (whole.has(cell)) whole.delete(cell);
      else whole.add(cell);
      show();
    });
    show();
    card.after(turn);
  }
};

const foldAll = (panel) => {
  for (const cell of panel.content.widgets)
    if (cell.model.type === "code" && SHOWS.test(cell.model.sharedModel.getSource())) fold(cell);
};

export default {
  name: "numbers",
  activate: (app) => {
    style(import.meta.url);
    onPages(app, { settled: foldAll });
  },
};
