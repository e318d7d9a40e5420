/* How a drawing finds its room. On a laptop it and its controls come onto one screen; where that would make it too small,
   the controls go beside it and stay in sight while it scrolls. On a phone the drawing is shown in pieces, one below the
   other, so that its words stay legible, and the control that was touched last stays in sight. */

const LEAST = 11; // px; smallest type that a phone shows
const LARGEST = 1; // a piece is not blown up beyond that
const SMALLEST = 630; // px; a drawing is not made narrower than that to fit a screen,
const LEAST_WIDE = 10.5; // px; nor its smallest type smaller
const PINNED = 0.45; // share of the screen that pinned controls may take
const DESK = 284; // px; controls beside their drawing
const SLIM = 560; // px; on less a control has its words above it
const GAP = 14; // drawing units without anything between two bands
const BAND = 100; // drawing units; bands are joined until they are as high
const APART = 36; // drawing units; what stands farther below in a column is another piece
const FURTHER = 20; // drawing units between two lines of one cell
const OVERLAP = 40; // drawing units that two pieces may both show,
const FLAT = 40; // and height of what may be cut between them (a line across); else the drawing stays whole

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
  const [tables, signs] = ["g[data-table]", "[data-sign]"].map((kind) =>
    [...svg.querySelectorAll(kind)].map((node) => ({ ...box(node), node })));
  const shapes = [...svg.querySelectorAll("circle, ellipse, rect, path, line, polygon")]
    .filter((node) => !node.closest("defs, clipPath, pattern, marker"))
    .map(box)
    .filter((one) => drawn(one) && one.right - one.left < 0.94 * width && one.bottom - one.top < 0.94 * height);
  return { words: words.filter(drawn), shapes, tables, signs, width, height };
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
const tablesOf = ({ words, tables, signs }) =>
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
    const before = ({ left: x, top, bottom: foot }) => signs.find((sign) =>
      sign.right > x - 26 && sign.right < x + 2 && (sign.top + sign.bottom) / 2 > top && (sign.top + sign.bottom) / 2 < foot);
    const told = (one) => one ? `${before(one)?.node.dataset.sign ?? ""} ${one.node.textContent}`.trim() : "";
    const row = (some) => lefts.map((_, place) => told(some.find((one) => column(one) === place)));
    const rows = [];
    let last = -Infinity;
    for (const y of new Set(inside.map(line))) {
      const words = row(inside.filter((one) => line(one) === y));
      // Words without a name before them, close below: the line above goes on.
      if (!words[0] && y - last < FURTHER) words.forEach((word, place) => { rows.at(-1)[place] += word && ` ${word}`; });
      else rows.push(words);
      last = y;
    }
    const lines = [...inside, ...heads];
    return {
      lines,
      y: first,
      table: heads.length ? [row(heads), ...rows] : rows,
      headed: heads.length > 0,
      room: { left: left - 4, right, top: Math.min(...lines.map((one) => one.top)) - 4, bottom: bottom + 2 },
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

const holds = (one, other) =>
  one.left <= other.left + 1 && one.right >= other.right - 1 && one.top <= other.top + 1 && one.bottom >= other.bottom - 1;

/** What must not be cut: words, and shapes that a piece has room for, with all that lies inside them. */
const wholes = (words, marks, most) => {
  const large = marks.filter((one) => one.right - one.left > 24 && one.right - one.left <= most - 12)
    .sort((a, b) => (b.right - b.left) * (b.bottom - b.top) - (a.right - a.left) * (a.bottom - a.top));
  const outer = [];
  for (const one of large) if (!outer.some((other) => holds(other, one))) outer.push(one);
  return [...outer, ...words.filter((one) => !outer.some((other) => holds(other, one)))];
};

const tall = (one) => one.bottom - one.top > FLAT;

/** The best place for a cut right of `start`, with what is left for the next piece; null where there is none. */
const bestCut = (left, marks, start, end, most) => {
  let best = null;
  for (let cut = start + 0.3 * most; cut <= start + most; cut += 4) {
    const now = left.filter((one) => (one.left + one.right) / 2 < cut);
    const rest = left.filter((one) => !now.includes(one));
    const right = Math.max(cut, ...now.map((one) => one.right + 4));
    const next = Math.min(cut, ...rest.map((one) => one.left - 4));
    if (right - start > most + 1 || next <= start + 1) continue;
    const crossed = marks.filter((one) => one.left < cut - 1 && one.right > cut + 1);
    const cost = right - next + 14 * crossed.length + 120 * Math.ceil((end - next) / most) + 0.1 * Math.abs(cut - (start + end) / 2);
    if (!best || cost < best.cost) best = { cost, right, next, now, rest, torn: right - next > OVERLAP || crossed.some(tall) };
  }
  return best;
};

/** What of a column is drawn close together, from the top to the bottom. */
const stacked = (from, to, own, marks, others) => {
  const theirs = (one) => others.some((other) => holds(other, one)) || one.right < from + 1 || one.left > to - 1;
  const found = [];
  for (const one of [...own, ...marks.filter((mark) => !theirs(mark))].sort((a, b) => a.top - b.top)) {
    const last = found.at(-1);
    if (last && one.top < last.bottom + APART) {
      last.bottom = Math.max(last.bottom, one.bottom);
      last.own.push(one);
    } else found.push({ top: one.top, bottom: one.bottom, own: [one] });
  }
  return found.map(({ top, bottom, own: inside }) =>
    ({ x: from, y: top - 6, width: to - from, height: bottom - top + 12, own: inside, others }));
};

/** Pieces of one band, side by side, none wider than `most`; every line of words and every shape lies whole in one of
    them. What would be torn so (a chart, a circuit) stays one piece, to be moved sideways in its own box. */
const columns = ([top, bottom], { words, shapes, width }, most) => {
  const inside = (one) => (one.top + one.bottom) / 2 >= top - 1 && (one.top + one.bottom) / 2 <= bottom + 1;
  const lines = words.filter(inside);
  const marks = shapes.filter(inside);
  let left = wholes(lines, marks, most);
  const all = [...lines, ...marks];
  const end = Math.min(Math.max(...all.map((one) => one.right)) + 6, width);
  let start = Math.max(Math.min(...all.map((one) => one.left)) - 6, 0);
  const whole = { x: start, y: top - 6, width: end - start, height: bottom - top + 12, own: left, others: [] };
  const made = [];
  while (end - start > most) {
    const best = bestCut(left, marks, start, end, most);
    if (!best || best.torn) return [whole];
    made.push([start, best.right, best.now]);
    start = best.next;
    left = best.rest;
  }
  if (end - start > 8) made.push([start, end, left]);
  return made.flatMap(([from, to, own]) =>
    stacked(from, to, own, marks, made.flatMap(([, , more]) => (more === own ? [] : more))));
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
  const rooms = tables.map(({ room }) => room);
  const shown = drawn.map(({ own, others, ...piece }) => ({
    ...piece,
    most,
    covers: [...covers(piece, found.words, apart), ...remnants(piece, own, others, rooms)],
  }));
  for (const { lines, room, ...one } of told.sort((a, b) => a.y - b.y)) {
    const [x, end] = [Math.min(...lines.map((line) => line.left)), Math.max(...lines.map((line) => line.right))];
    const middle = (x + end) / 2;
    const wide = end - x > most;
    const over = shown.findLastIndex((piece) =>
      piece.y + piece.height / 2 < one.y && (wide || (piece.x < middle && middle < piece.x + piece.width)));
    const below = shown.findIndex((piece) => piece.y > one.y);
    shown.splice(over >= 0 ? over + 1 : below >= 0 ? below : shown.length, 0, { ...one, x, width: end - x, height: 1 });
  }
  return shown;
};

/** What a piece would show of another one's shapes, or of a table's lines, where nothing of its own stands. */
const remnants = ({ x, y, width, height }, own, others, rooms) =>
  [...others.filter((one) => !one.node && !holds({ left: x, right: x + width, top: y, bottom: y + height }, one)), ...rooms]
    .map((one) => ({
      left: Math.max(one.left - 4, x),
      right: Math.min(one.right + 4, x + width),
      top: Math.max(one.top - 4, y),
      bottom: Math.min(one.bottom + 4, y + height),
    }))
    .filter(({ left, right, top, bottom }) => right > left && bottom > top &&
      !own.some((one) => one.right > left + 4 && one.left < right - 4 && one.bottom > top + 4 && one.top < bottom - 4))
    .map(({ left, right, top, bottom }) => [left, top, right - left, bottom - top]);

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

const asPiece = ({ x, y, width, height, most, covers }, svg, id, room, ground) => {
  const font = `font-family='${svg.getAttribute("font-family")}' font-size="${svg.getAttribute("font-size")}"`;
  const over = covers.map(([left, top, wide, high]) =>
    `<rect x="${left}" y="${top}" width="${wide}" height="${high}" fill="${ground}"/>`).join("");
  const shown = Math.max(width / most, Math.min(1, (LARGEST * width) / room)) * 100;
  const drawn = `<svg viewBox="${x} ${y} ${width} ${height}" style="width:${shown}%"` +
    ` ${font} fill="${svg.getAttribute("fill")}"><use href="#${id}"/>${over}</svg>`;
  return shown > 101 ? `<div class="coldcab-wide">${drawn}</div>` : drawn;
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
