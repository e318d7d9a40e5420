/* A drawing in the page. It is put there once; after that the kernel sends what has changed, by place in the tree, and
   everything is put in its place within one frame. What is told in numbers (a needle's angle, a level) glides there,
   unless the reader has asked for pictures that keep still. Needs nothing but the browser. */

const GLIDE = 140; // ms
const MOST = 400; // attributes that glide at once; more are put in place at once
const GLIDES = new Set("transform x y x1 y1 x2 y2 cx cy r width height d points".split(" "));
const NUMBER = /-?\d+(?:\.\d+)?/g;
const SVG = "http://www.w3.org/2000/svg";
const STILL = window.matchMedia("(prefers-reduced-motion: reduce)");

const shape = (text) => text.replace(NUMBER, "#");

/** Numbers of a text between two texts of the same shape. */
const between = (from, to, share) => {
  const starts = from.match(NUMBER);
  let place = 0;
  return to.replace(NUMBER, (end) => {
    const start = Number(starts[place++]);
    return String(Math.round((start + (Number(end) - start) * share) * 100) / 100);
  });
};

/** Things on their way: each has its node, attribute, start and end. */
const glider = () => {
  const under_way = new Map(); // node -> Map(attribute -> {from, to, began})
  let asked = false;

  const step = (now) => {
    asked = false;
    for (const [node, attributes] of under_way) {
      for (const [name, { from, to, began }] of attributes) {
        const share = Math.min(Math.max((now - began) / GLIDE, 0), 1);
        const eased = 1 - (1 - share) ** 3;
        node.setAttribute(name, share === 1 ? to : between(from, to, eased));
        if (share === 1) attributes.delete(name);
      }
      if (!attributes.size || !node.isConnected) under_way.delete(node);
    }
    if (under_way.size) ask();
  };
  const ask = () => {
    if (!asked) requestAnimationFrame(step);
    asked = true;
  };
  return {
    /** Send an attribute on its way, or put it in its place where it cannot glide. */
    move(node, name, to) {
      const from = node.getAttribute(name);
      if (from === null || shape(from) !== shape(to)) {
        under_way.get(node)?.delete(name);
        node.setAttribute(name, to);
        return;
      }
      if (!under_way.has(node)) under_way.set(node, new Map());
      under_way.get(node).set(name, { from, to, began: performance.now() - 16 });
      ask();
    },
    forget(node, name) {
      under_way.get(node)?.delete(name);
    },
  };
};

const at = (root, place) => place.reduce((node, number) => node.childNodes[number], root);

const set = (node, attributes, glide) => {
  // Another color is another thing: nothing glides there.
  const same = glide && Object.keys(attributes).every((name) => GLIDES.has(name));
  for (const [name, text] of Object.entries(attributes)) {
    if (text === null) node.removeAttribute(name);
    else if (same) {
      glide.move(node, name, text);
      continue;
    } else node.setAttribute(name, text);
    glide?.forget(node, name);
  }
};

const splice = (node, first, gone, markup) => {
  for (let number = 0; number < gone; number += 1) node.childNodes[first].remove();
  if (!markup) return;
  const place = document.createElementNS(node.namespaceURI, node.namespaceURI === SVG ? "svg" : "div");
  place.innerHTML = markup;
  const next = node.childNodes[first] ?? null;
  for (const child of [...place.childNodes]) node.insertBefore(child, next);
};

const apply = (root, changes, glide) => {
  for (const [what, place, ...rest] of changes) {
    const node = at(root, place);
    if (what === "set") set(node, rest[0], glide);
    else if (what === "text") node.data = rest[0];
    else splice(node, ...rest);
  }
};

export default {
  render({ model, el }) {
    const glide = glider();
    const room = roomKeeper(el);
    let number = -1;
    const size = () => el.querySelector("svg[role=img]")?.getAttribute("viewBox");
    const whole = (state) => {
      el.innerHTML = state.html;
      number = state.number;
      room.changed(true);
    };
    const hear = (message) => {
      if (message.html !== undefined) whole(message);
      else if (message.number === number + 1) {
        const narrow = el.classList.contains("coldcab-in-pieces"); // every step would draw every piece anew
        const many = message.changes.length > MOST || STILL.matches || document.hidden || narrow;
        room.aside();
        const before = size();
        apply(el.firstElementChild, message.changes, many ? null : glide);
        number = message.number;
        room.changed(before !== size());
      } else if (message.number > number) model.send({ have: number });
    };
    el.classList.add("coldcab-canvas");
    whole(model.get("drawing"));
    model.on("msg:custom", hear);
    model.send({ have: number });
    return () => {
      model.off("msg:custom", hear);
      room.end();
    };
  },
};
