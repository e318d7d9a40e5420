/* Beside the lines of a sheet: its choices as buttons, how each answer is read, and the sheet's numbers.

   All of it comes from the kernel, which reads the sheet as the grading does. What a button says it writes into its line
   as if it had been typed: the sheet stays words. */
import { attempt, element, style } from "./common.js";
import { Numbers } from "./numbers.js";

const TARGET = "coldcab-sheet";
const PAUSE = 350; // ms without a key before a line is read
const ANSWER = 20_000; // ms that a busy kernel may take
const AGAIN = 3_000; // ms between two tries to reach a kernel that does not know the course yet
const MANY = 8; // choices in words; a line with more shows them when it is its turn

const made = (tag, className, text = "", children = []) => Object.assign(element(tag, text, children), { className });

const button = (className, text, press) => {
  const node = Object.assign(made("button", className, text), { type: "button" });
  node.addEventListener("click", () => attempt(press));
  return node;
};

// --- Asking the kernel -------------------------------------------------------------------------------------------

const channels = new WeakMap(); // of each kernel: its channel, and who waits for an answer
const listeners = new Set(); // what to do when numbers changed

/** What to do with everything that a kernel says of sheets and of who is at the desk. */
export const heard = new Set();

const channel = (kernel) => {
  const known = channels.get(kernel);
  if (known && !known.comm.isDisposed && !known.closed) return known;
  if (known && Date.now() - known.tried < AGAIN) return undefined;
  const opened = { comm: kernel.createComm(TARGET), waiting: new Map(), closed: false, tried: Date.now() };
  opened.comm.onMsg = ({ content }) => {
    const { data } = content;
    for (const hear of heard) attempt(() => hear(data));
    if (data.changed) for (const listener of listeners) attempt(() => listener(data, kernel));
    opened.waiting.get(data.number)?.(data);
    opened.waiting.delete(data.number);
  };
  const close = () => {
    opened.closed = true;
    for (const answer of opened.waiting.values()) answer(undefined);
  };
  opened.comm.onClose = close;
  kernel.disposed?.connect(close);
  channels.set(kernel, opened);
  opened.comm.open({});
  return opened;
};

/** Try this kernel again at once: it has just been told of the course. */
export const forget = (kernel) => channels.delete(kernel);

let asked = 0;

/** Ask a kernel about a sheet; undefined where it does not know the course (yet). */
export const ask = (kernel, sheet, text, more = {}) =>
  new Promise((resolve) => {
    const open = kernel && attempt(() => channel(kernel));
    if (!open) return resolve(undefined);
    asked += 1;
    const number = asked;
    open.waiting.set(number, resolve);
    setTimeout(() => open.waiting.delete(number) && resolve(undefined), ANSWER);
    attempt(() => open.comm.send({ sheet, text, number, ...more }));
  });

// --- Writing into a line -----------------------------------------------------------------------------------------

const fold = (text) => (text.toLowerCase().match(/[a-z0-9]+/g) ?? []).join(" ");

/** Write an answer behind its label, as one step of undo. */
const write = (cell, label, answer) => {
  const shared = cell.model.sharedModel;
  const text = shared.getSource();
  let start = 0;
  for (const line of text.split("\n")) {
    const [typed] = line.split(/[:=]/, 1);
    if (typed.length < line.length && fold(typed) === fold(label)) {
      return shared.updateSource(start, start + line.length, `${typed}: ${answer}`);
    }
    start += line.length + 1;
  }
  shared.updateSource(text.length, text.length, `${text.endsWith("\n") ? "" : "\n"}${label}: ${answer}`);
};

/** Write these answers behind their labels, nothing behind the other labels that are named; one step of undo. */
const fill = (cell, answers) => {
  const shared = cell.model.sharedModel;
  const text = shared.getSource();
  const byFold = new Map(Object.entries(answers).map(([label, answer]) => [fold(label), answer]));
  const filled = text.split("\n").map((line) => {
    const [typed] = line.split(/[:=]/, 1);
    const answer = typed.length < line.length ? byFold.get(fold(typed)) : undefined;
    return answer === undefined ? line : `${typed}: ${answer}`;
  });
  shared.updateSource(0, text.length, filled.join("\n"));
};

/** Put the cursor behind the answer of a line. */
const goTo = (cell, label) => {
  const lines = cell.model.sharedModel.getSource().split("\n");
  const line = lines.findIndex((one) => /[:=]/.test(one) && fold(one.split(/[:=]/, 1)[0]) === fold(label));
  if (line < 0 || !cell.editor) return;
  cell.editor.setCursorPosition({ line, column: lines[line].length });
  cell.editor.focus();
};

const NONE = "none"; // goes with no other choice

const toggled = (line, choice) => {
  const has = line.chosen.includes(choice);
  if (!line.several || choice === NONE) return has ? "" : choice;
  const others = line.chosen.filter((one) => one !== NONE);
  return line.choices.filter((one) => (one === choice ? !has : others.includes(one))).join(", ");
};

// --- Rows --------------------------------------------------------------------------------------------------------

/** One Tab stop for all choices of a line; the arrow keys go from one to the next. */
const roam = (group) =>
  group.addEventListener("keydown", (event) => {
    const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    const all = [...group.children];
    const next = all[(all.indexOf(document.activeElement) + way + all.length) % all.length];
    all.forEach((one) => (one.tabIndex = one === next ? 0 : -1));
    next.focus();
  });

/** The room of a row is kept for what it may come to say: nothing moves under the next tap. */
class Row {
  constructor(cell, line) {
    this.line = line;
    this.read = made("span", "coldcab-read");
    this.node = made("div", "coldcab-row", "", [made("span", "coldcab-label", line.label), this.read]);
    this.node.title = line.prompt;
    this.choices = [];
    if (line.choices.length) this.offer(cell);
    else this.node.classList.add("coldcab-typed");
    this.node.addEventListener("click", ({ target }) => attempt(() => this.tap(cell, target)));
  }

  offer(cell) {
    const { label, several, choices } = this.line;
    this.choices = choices.map((choice) => button("coldcab-choice", choice, () => this.press(cell, choice)));
    this.choices.forEach((one, i) => (one.tabIndex = i ? -1 : 0));
    const group = made("div", "coldcab-choices", "", this.choices);
    group.setAttribute("role", "group");
    group.setAttribute("aria-label", `${label}: ${several ? "choose one or several" : "choose one"}`);
    roam(group);
    this.node.append(group);
    if (choices.length <= MANY || choices.every((choice) => choice.length === 1)) return;
    this.fold = button("coldcab-fold", "", () => this.turn(group, !group.hidden));
    this.turn(group, true);
    group.before(this.fold);
  }

  turn(group, shut) {
    group.hidden = shut;
    this.fold.setAttribute("aria-expanded", String(!shut));
  }

  /** Who touches the row of a number wants to write it, wherever it is touched; words that were cut off show whole. */
  tap(cell, target) {
    const cut = this.read.scrollHeight > this.read.clientHeight || this.read.scrollWidth > this.read.clientWidth;
    const whole = this.read.classList.contains("coldcab-whole");
    if (target === this.read && (cut || whole)) this.read.classList.toggle("coldcab-whole");
    if (!this.choices.length) goTo(cell, this.line.label);
  }

  /** The next tap may come before the kernel has read this one, so it is shown at once. */
  press(cell, choice) {
    const answer = toggled(this.line, choice);
    const chosen = this.line.several ? answer.split(", ").filter(Boolean) : answer ? [answer] : [];
    write(cell, this.line.label, answer);
    this.show({ ...this.line, chosen, problem: "" });
  }

  show(line) {
    this.line = line;
    const { read, problem, chosen, choices, hint } = line;
    const said = choices.length ? problem : problem || (read ? `read as ${read}` : hint);
    say(this.read, said);
    this.read.classList.toggle("coldcab-unread", Boolean(problem));
    this.read.classList.toggle("coldcab-hint", !problem && !read);
    this.choices.forEach((one) => one.setAttribute("aria-pressed", String(chosen.includes(one.textContent))));
    if (this.fold) say(this.fold, chosen.join(", ") || `${choices.length} choices`);
  }
}

const say = (node, words) => {
  if (node.textContent === words) return;
  node.textContent = words;
  node.classList.remove("coldcab-whole");
};

// --- A sheet -----------------------------------------------------------------------------------------------------

/** The label of the line that a hand is at: in the text, or in its row below. */
const labelAt = (cell, target) => {
  const row = target.closest(".coldcab-row");
  if (row) return row.querySelector(".coldcab-label").textContent;
  if (!target.closest(".cm-content") || !cell.editor) return undefined;
  const line = cell.model.sharedModel.getSource().split("\n")[cell.editor.getCursorPosition().line] ?? "";
  return /[:=]/.test(line) ? line.split(/[:=]/, 1)[0] : undefined;
};

/** Show beside a sheet what its kernel says of it, now and after every pause of the pen. */
export const showBeside = (panel, cell, { name, kernel, bar, below }) => {
  const numbers = new Numbers(panel, cell);
  const rows = made("div", "coldcab-rows");
  let byLabel = new Map();
  let latest = 0;
  let timer;
  let at = ""; // the line that a hand was at last

  /** The numbers go with the line; a part in which nobody has been yet begins with its first. */
  const follow = () => {
    const all = [...byLabel.values()].map(({ line }) => line);
    const line = all.find(({ label }) => fold(label) === at) ?? all[0];
    if (line) numbers.about(line.rows);
  };

  const showLines = (lines) => {
    const labels = lines.map(({ label }) => label);
    if (labels.join("\n") !== [...byLabel.keys()].join("\n")) {
      byLabel = new Map(lines.map((line) => [line.label, new Row(cell, line)]));
      rows.replaceChildren(...[...byLabel.values()].map(({ node }) => node));
    }
    lines.forEach((line) => byLabel.get(line.label).show(line));
    follow();
  };

  const refresh = async () => {
    if (cell.isDisposed) return stop();
    latest += 1;
    const mine = latest;
    const state = await ask(kernel(), name(), cell.model.sharedModel.getSource());
    if (mine !== latest || cell.isDisposed) return;
    if (!state) {
      // The course is not there yet; it comes with the first start.
      timer = setTimeout(refresh, AGAIN);
      return;
    }
    showLines(state.lines);
    numbers.put(state.numbers);
  };

  const later = () => {
    latest += 1; // what is still being asked is of an earlier text
    clearTimeout(timer);
    timer = setTimeout(() => attempt(refresh), PAUSE);
  };

  const told = (data, from) => {
    if (data.fill && from === kernel() && ["", data.sheet].includes(name())) {
      ask(from, data.sheet, cell.model.sharedModel.getSource(), { left: data.left });
      fill(cell, data.fill);
    }
    later();
  };

  const hand = ({ target }) => {
    const label = labelAt(cell, target);
    if (label === undefined) return;
    at = fold(label);
    follow();
  };
  const stop = () => {
    listeners.delete(told);
    numbers.stop();
    clearTimeout(timer);
  };

  bar.querySelector(".coldcab-check").after(numbers.turn);
  below.prepend(rows);
  cell.node.querySelector(".jp-Cell-inputWrapper").before(numbers.aside);
  for (const event of ["focusin", "keyup", "click"]) cell.node.addEventListener(event, (one) => attempt(() => hand(one)));
  cell.model.sharedModel.changed.connect(later);
  panel.sessionContext.kernelChanged?.connect(later);
  cell.disposed.connect(stop);
  listeners.add(told);
  later();
};

export default { name: "lines", activate: () => style(import.meta.url) };
