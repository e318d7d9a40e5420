/* How a drawing finds its room. On a laptop it and its controls come onto one screen; where that would make it too small,
   the controls go beside it and stay in sight while it scrolls. On a phone the drawing is shown in pieces, one below the
   other, so that its words stay legible, and the control that was touched last stays in sight. */

const LEAST = 11; // px; smallest type that a phone shows
const LARGEST = 1.2; // a piece is not blown up beyond that
const SMALLEST = 630; // px; a drawing is not made narrower than that to fit a screen,
const LEAST_WIDE = 10.5; // px; nor its smallest type smaller
const PINNED = 0.45; // share of the screen that pinned controls may take
const DESK = 284; // px; controls beside their drawing
const SLIM = 560; // px; on less a control has its words above it
const GAP = 14; // drawing units without anything between two bands
const BAND = 100; // drawing units; bands are joined until they are as high

/** What is drawn, in units of the drawing: words, and shapes that are better not cut. */
const contents = (svg) => {
  const frame = svg.getBoundingClientRect();
  const unit = svg.viewBox.baseVal.width / frame.width;
  const box = (node) => {
    const { left, top, right, bottom } = node.getBoundingClientRect();
    return {
      left: (left - frame.left) * unit,
      right: (right - frame.left) * unit,
      top: (top - frame.top) * unit,
      bottom: (bottom - frame.top) * unit,
    };
  };
  const { width, height } = svg.viewBox.baseVal;
  const drawn = (one) => one.right > 0 && one.left < width && one.right - one.left + one.bottom - one.top > 0;
  const words = [...svg.querySelectorAll("text")].filter((node) => node.textContent.trim()).map((node) => ({
    ...box(node),
    node,
    size: type(node),
  }));
  const tables = [...svg.querySelectorAll("g[data-table]")].map((node) => ({ ...box(node), node }));
  const shapes = [...svg.querySelectorAll("circle, ellipse, rect, path, line, polygon")]
    .filter((node) => !node.closest("defs, clipPath, pattern, marker"))
    .map(box)
    .filter((one) => drawn(one) && one.right - one.left < 0.94 * width && one.bottom - one.top < 0.94 * height);
  return { words: words.filter(drawn), shapes, tables, width, height };
};

const type = (node) => Number.parseFloat(getComputedStyle(node).fontSize);

const smallestType = (svg) => Math.min(...[...svg.querySelectorAll("text")].map(type));

/** Lines of a paragraph that no piece is wide enough for: they are told as text, broken anew. */
const paragraphs = (words, most) => {
  const near = (one, other) =>
    one && other && one.node.parentNode === other.node.parentNode && Math.abs(one.left - other.left) < 2 &&
    Math.abs(one.top - other.top) < 1.6 * one.size && one.size === other.size;
  const found = [];
  words.forEach((one, number) => {
    if (one.right - one.left <= most || found.some((made) => made.lines.includes(one))) return;
    const lines = [one];
    for (let back = number - 1; near(words[back], lines[0]); back -= 1) lines.unshift(words[back]);
    for (let on = number + 1; near(words[on], lines.at(-1)); on += 1) lines.push(words[on]);
    found.push({ lines, y: lines[0].top, words: lines.map((line) => line.node.textContent).join(" ") });
  });
  return found;
};

/** Tables are told as such: rows of words, the heads of their columns first. */
const tablesOf = ({ words, tables }) =>
  tables.map(({ node, left, right, bottom }) => {
    const line = (one) => Math.round(Number(one.node.getAttribute("y")));
    const inside = words.filter((one) => node.contains(one.node));
    const starts = [...new Set(inside.map((one) => Math.round(one.left)))].sort((a, b) => a - b);
    const lefts = starts.filter((start, place) => !place || start - starts[place - 1] > 8);
    const column = (one) => lefts.findLastIndex((start) => one.left > start - 9);
    const first = Math.min(...inside.map((one) => one.top));
    const above = words.filter((one) => !one.node.closest("g[data-table]") && one.bottom > first - 30 && one.bottom < first + 4 &&
      lefts.some((start) => one.left > start - 9 && one.left < start + 30));
    const over = above.find((one) => column(one) > 0);
    const heads = above.filter((one) => over && Math.abs(one.bottom - over.bottom) < 4);
    const row = (some) => lefts.map((_, place) => some.find((one) => column(one) === place)?.node.textContent ?? "");
    const rows = [...new Set(inside.map(line))].map((y) => row(inside.filter((one) => line(one) === y)));
    const lines = [...inside, ...heads];
    return {
      lines,
      y: first,
      table: heads.length ? [row(heads), ...rows] : rows,
      headed: heads.length > 0,
      room: { left: left - 30, right, top: Math.min(...lines.map((one) => one.top)) - 4, bottom: bottom + 2 },
    };
  });

const within = (one, { left, right, top, bottom }) => {
  const [x, y] = [(one.left + one.right) / 2, (one.top + one.bottom) / 2];
  return x > left && x < right && y > top && y < bottom;
};

/** Bands between which nothing is drawn, from the top to the bottom, joined until they are worth a piece. */
const bands = ({ words, shapes }) => {
  const spans = [...words, ...shapes].map((one) => [one.top, one.bottom]).sort((a, b) => a[0] - b[0]);
  const found = [];
  for (const [top, bottom] of spans) {
    const last = found.at(-1);
    if (last && (top < last[1] + GAP || last[1] - last[0] < BAND)) last[1] = Math.max(last[1], bottom);
    else found.push([top, bottom]);
  }
  return found;
};

/** Pieces of one band, side by side, none wider than `most`; every line of words lies whole in one of them. */
const columns = ([top, bottom], { words, shapes, width }, most) => {
  const inside = (one) => (one.top + one.bottom) / 2 >= top - 1 && (one.top + one.bottom) / 2 <= bottom + 1;
  let left = words.filter(inside);
  const marks = shapes.filter(inside);
  const all = [...left, ...marks];
  const end = Math.min(Math.max(...all.map((one) => one.right)) + 6, width);
  let start = Math.max(Math.min(...all.map((one) => one.left)) - 6, 0);
  const made = [];
  while (end - start > most) {
    let best = null;
    for (let cut = start + 0.3 * most; cut <= start + most; cut += 4) {
      const now = left.filter((one) => (one.left + one.right) / 2 < cut);
      const rest = left.filter((one) => !now.includes(one));
      const right = Math.max(cut, ...now.map((one) => one.right + 4));
      const next = Math.min(cut, ...rest.map((one) => one.left - 4));
      if (right - start > most + 1 || next <= start + 1) continue;
      const crossed = marks.filter((one) => one.left < cut - 1 && one.right > cut + 1).length;
      const pieces = Math.ceil((end - next) / most);
      const cost = right - next + 14 * crossed + 120 * pieces + 0.1 * Math.abs(cut - (start + end) / 2);
      if (!best || cost < best.cost) best = { cost, right, next, rest };
    }
    if (!best) {
      // One line is wider than a piece: it sets the width of this one.
      const first = left.reduce((a, b) => (a.right > b.right ? a : b));
      best = { right: first.right + 4, next: end, rest: [] };
    }
    made.push([start, best.right]);
    start = best.next;
    left = best.rest;
  }
  if (end - start > 8) made.push([start, end]);
  return made.map(([from, to]) => ({ x: from, y: top - 6, width: to - from, height: bottom - top + 12 }));
};

/** Pieces of a drawing that is shown `width` pixels wide. */
const pieces = (svg, width) => {
  const found = contents(svg);
  const small = Math.min(...found.words.map((one) => one.size));
  const most = (small * width) / (LEAST + 0.2);
  if (!found.words.length || most >= found.width) return null;
  const tables = tablesOf(found);
  const loose = found.words.filter((one) => !tables.some((table) => table.lines.includes(one)));
  const told = [...paragraphs(loose, most), ...tables];
  const apart = new Set(told.flatMap((one) => one.lines));
  const rest = {
    ...found,
    words: found.words.filter((one) => !apart.has(one)),
    shapes: found.shapes.filter((one) => !tables.some(({ room }) => within(one, room))),
  };
  const drawn = bands(rest).flatMap((band) => columns(band, rest, most));
  for (const piece of drawn) piece.covers = covers(piece, found.words, apart);
  return [...drawn, ...told.map(({ lines, room, ...one }) => one)].sort((a, b) => a.y - b.y);
};

/** Words that a piece would show in part, or that are told: another place shows them whole. */
const covers = ({ x, y, width, height }, words, apart) =>
  words.filter((one) => {
    const seen = one.right > x && one.left < x + width && one.bottom > y && one.top < y + height;
    const cut = one.left < x - 2 || one.right > x + width + 2 || one.top < y - 3 || one.bottom > y + height + 3;
    return seen && (cut || apart.has(one));
  }).map((one) => {
    const spare = apart.has(one) ? 0 : 0.15 * one.size; // what stands close above and below stays
    return [one.left, one.top + spare, one.right - one.left, one.bottom - one.top - 2 * spare];
  });

const quoted = (text) => text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);

const asTable = ({ table, headed }) => {
  const row = (words, cell) => `<tr>${words.map((one) => `<${cell}>${quoted(one)}</${cell}>`).join("")}</tr>`;
  return `<table>${table.map((words, place) => row(words, headed && !place ? "th" : "td")).join("")}</table>`;
};

const asPiece = ({ x, y, width, height, covers }, svg, id, room, ground) => {
  const font = `font-family='${svg.getAttribute("font-family")}' font-size="${svg.getAttribute("font-size")}"`;
  const over = covers.map(([left, top, wide, high]) =>
    `<rect x="${left}" y="${top}" width="${wide}" height="${high}" fill="${ground}"/>`).join("");
  return `<svg viewBox="${x} ${y} ${width} ${height}" style="width:${Math.min(1, (LARGEST * width) / room) * 100}%"` +
    ` ${font} fill="${svg.getAttribute("fill")}"><use href="#${id}"/>${over}</svg>`;
};

/** Keeps a drawing in its room; `changed` after each change of the drawing, `end` when the view goes. */
const roomKeeper = (el) => {
  const shown = document.createElement("div");
  shown.className = "coldcab-pieces";
  shown.setAttribute("aria-hidden", "true"); // the drawing itself has the text alternative
  let later = 0;
  let laid = "";
  let known = 0;
  let watched = null;

  const narrow = (svg) => {
    const drawn = svg.querySelector(".coldcab-all");
    const parts = drawn && el.clientWidth ? pieces(svg, el.clientWidth) : null;
    el.classList.toggle("coldcab-in-pieces", Boolean(parts));
    if (!parts) return shown.remove();
    const plan = JSON.stringify(parts, (_, value) => (typeof value === "number" ? Math.round(value) : value));
    drawn.id ||= `coldcab-drawn-${Math.random().toString(36).slice(2)}`; // each drawing has its own copy of this file
    if (plan !== laid || !shown.firstChild || !shown.innerHTML.includes(`"#${drawn.id}"`)) {
      laid = plan;
      const ground = getComputedStyle(svg.parentElement).backgroundColor;
      shown.innerHTML = parts.map((part) => part.words ? `<p>${quoted(part.words)}</p>` : part.table ? asTable(part) :
        asPiece(part, svg, drawn.id, el.clientWidth, ground)).join("");
    }
    if (shown.previousSibling !== svg) svg.after(shown);
  };

  /** What stands between must cut without scrolling, else nothing can be pinned in it. */
  const unclipped = (scroller) => {
    for (let node = el.parentElement; node && node !== scroller; node = node.parentElement)
      if (!["visible", "clip"].includes(getComputedStyle(node).overflowY) && !node.matches(".jp-mod-outputsScrolled *"))
        node.style.overflow = "clip";
  };

  const wide = (svg) => {
    const scroller = el.closest(".jp-WindowedPanel-outer, .jp-NotebookPanel-notebook");
    const { width, height } = svg.viewBox.baseVal;
    const box = el.parentElement;
    const desk = controls();
    box?.classList.remove("coldcab-beside");
    svg.style.marginInline = "auto";
    svg.style.maxWidth = "960px";
    if (scroller) unclipped(scroller);
    const pieces = el.classList.contains("coldcab-in-pieces");
    desk?.classList.toggle("coldcab-slim", pieces || el.clientWidth < SLIM);
    if (!scroller || !width || pieces) return pin(desk, null);
    /** The width at which the drawing comes onto the screen with what else stands in its column. */
    const fitting = (above) => {
      const words = el.offsetHeight - svg.getBoundingClientRect().height + 8;
      return ((scroller.clientHeight - words - above) * width) / height;
    };
    const smallest = Math.max(SMALLEST, (LEAST_WIDE * width) / smallestType(svg));
    let fits = fitting(desk?.offsetHeight ?? 0);
    if (desk && fits < smallest && box.parentElement.clientWidth >= smallest + DESK) {
      box.classList.add("coldcab-beside");
      desk.classList.add("coldcab-slim");
      box.style.setProperty("--coldcab-desk", `${DESK}px`);
      fits = Math.max(fitting(0), smallest);
    }
    if (fits >= smallest) svg.style.maxWidth = `${Math.min(fits, 960)}px`;
    pin(desk, scroller);
  };

  const controls = () => el.parentElement?.querySelector(":scope > .coldcab-desk");

  /** Controls stay in sight beside a drawing, and above it if they leave room for it. */
  const pin = (desk, scroller) => {
    const beside = el.parentElement?.classList.contains("coldcab-beside");
    if (!desk) return;
    desk.style.maxHeight = beside ? `${scroller.clientHeight}px` : "";
    desk.classList.toggle("coldcab-pinned", Boolean(scroller) && (beside || desk.offsetHeight <= PINNED * scroller.clientHeight));
  };

  /** The control that a hand is on, or was last. */
  const held = ({ target }) => {
    const row = target.closest?.(".coldcab-control");
    if (!row) return;
    for (const one of controls().querySelectorAll(".coldcab-held")) one.classList.toggle("coldcab-held", one === row);
    row.classList.add("coldcab-held");
  };

  const settle = () => {
    clearTimeout(later);
    later = 0;
    const svg = el.querySelector("svg[role=img]");
    if (!svg || !el.isConnected) return;
    el.parentElement?.classList.remove("coldcab-beside");
    narrow(svg);
    wide(svg);
    known = el.clientWidth;
    const desk = controls();
    if (!desk || desk === watched) return;
    watched = desk;
    desk.addEventListener("focusin", held);
    desk.addEventListener("pointerdown", held);
  };
  const soon = (time) => {
    clearTimeout(later);
    later = setTimeout(settle, time);
  };
  const watch = new ResizeObserver(() => {
    if (el.clientWidth !== known) soon(30);
  });
  watch.observe(el);
  const resized = () => soon(150);
  window.addEventListener("resize", resized);
  return {
    /** Places are counted without the pieces. */
    aside: () => shown.remove(),
    changed(whole) {
      if (el.classList.contains("coldcab-in-pieces") && !whole) {
        el.querySelector("svg[role=img]").after(shown);
        soon(200);
      } else if (whole) settle();
    },
    end() {
      clearTimeout(later);
      watch.disconnect();
      window.removeEventListener("resize", resized);
    },
  };
};
