/* How one instrument, in its cell, sits in the page: its height beside the page's, its type, what is cut or hangs over. */
cell => {
  const scroller = cell.closest('.jp-WindowedPanel-outer, .jp-NotebookPanel-notebook');
  const output = cell.querySelector('.jp-OutputArea-output');
  const desk = cell.querySelector('.coldcab-desk'), canvas = cell.querySelector('.coldcab-canvas');
  const svg = (canvas ?? output).querySelector('svg[role=img]');
  const px = one => one ? Math.round(one.getBoundingClientRect().height) : 0;
  const rows = desk ? [...desk.querySelectorAll('.coldcab-control, .jupyter-button')].map(one => one.getBoundingClientRect()).filter(one => one.height) : [];
  const high = rows.length ? Math.round(Math.max(...rows.map(one => one.bottom)) - Math.min(...rows.map(one => one.top))) : 0;
  const room = output.getBoundingClientRect(), page = scroller.getBoundingClientRect();
  const found = {aside: output.querySelectorAll('.coldcab-wide').length, desk: high, beside: desk ? canvas.getBoundingClientRect().left > output.getBoundingClientRect().left + 40 : false, sheet: px(canvas ?? output), drawing: px(svg), page: scroller.clientHeight, pinned: null, least: null,
    cut: [], torn: [], over: [], small: [], width: Math.round(room.width)};

  // Words of the drawing: their type as it is seen, and those that nothing shows whole.
  const type = node => parseFloat(getComputedStyle(node).fontSize);
  if (svg) {
    const frame = svg.getBoundingClientRect(), view = svg.viewBox.baseVal, unit = view.width / frame.width;
    const pieces = canvas ? [...canvas.querySelectorAll('.coldcab-pieces svg')] : [];
    const told = canvas ? [...canvas.querySelectorAll('.coldcab-pieces :is(p, td, th)')] : [];
    const seen = pieces.length || told.length ? pieces : [svg];
    const sizes = [];
    for (const line of svg.querySelectorAll('text')) {
      if (!line.textContent.trim()) continue;
      const paragraph = told.find(one => one.textContent.includes(line.textContent));
      if (paragraph) { sizes.push(type(paragraph)); continue; }
      const box = line.getBoundingClientRect();
      const [left, right] = [(box.left - frame.left) * unit, (box.right - frame.left) * unit];
      const [top, bottom] = [(box.top - frame.top) * unit, (box.bottom - frame.top) * unit];
      const whole = seen.filter(piece => {
        const {x, y, width, height} = piece.viewBox.baseVal;
        return left > x - 2 && right < x + width + 2 && top > y - 3 && bottom < y + height + 3;
      });
      if (!whole.length) found.cut.push(line.textContent);
      else sizes.push(type(line) * Math.max(
        ...whole.map(one => one.getBoundingClientRect().width / one.viewBox.baseVal.width)));
    }
    found.least = Math.min(...sizes);
    // Dials, vessels and charts that no piece shows whole.
    for (const shape of pieces.length ? svg.querySelectorAll('circle, rect') : []) {
      const box = shape.getBoundingClientRect(), [wide, high] = [box.width * unit, box.height * unit];
      if (shape.closest('defs, clipPath, pattern, [data-table]') || wide < 60 || high < 60 || wide > 0.94 * view.width) continue;
      const [x, y] = [(box.left - frame.left) * unit, (box.top - frame.top) * unit];
      if (!pieces.some(piece => {
        const seen = piece.viewBox.baseVal;
        return x > seen.x - 3 && x + wide < seen.x + seen.width + 3 && y > seen.y - 3 && y + high < seen.y + seen.height + 3;
      })) found.torn.push(`${shape.tagName} ${Math.round(wide)}x${Math.round(high)} at ${Math.round(x)}, ${Math.round(y)}`);
    }
  }
  for (const words of (canvas ?? output).querySelectorAll('p, td, th, caption, b, li'))
    if (words.textContent.trim()) found.least = Math.min(found.least ?? 99, type(words));

  // What hangs over: beyond the page, or in a box that is too small for it.
  const name = node => `${node.tagName.toLowerCase()}.${String(node.className?.baseVal ?? node.className).split(' ').slice(0, 3).join('.')}`
    + ` "${node.textContent.trim().slice(0, 30)}"`;
  for (const node of output.querySelectorAll('*')) {
    if (node.closest('svg') && node.tagName !== 'svg') continue;
    if (node.closest('.coldcab-in-pieces svg[role=img]') || node.closest('noscript, style, script')) continue;
    // What would be torn in pieces, or a chart that no instrument draws, is moved sideways in its own box.
    if (node.matches('.coldcab-wide') || (node.tagName === 'svg' && getComputedStyle(node.parentNode).overflowX === 'auto')) continue;
    const box = node.getBoundingClientRect();
    if (!box.width || !box.height) continue;
    if (box.right > page.left + scroller.clientWidth + 1 || box.left < page.left - 1) found.over.push(`${name(node)} +${Math.round(box.right - page.left - scroller.clientWidth)}`);
    const style = getComputedStyle(node);
    if (node.tagName !== 'SELECT' && node.tagName !== 'INPUT' && node.clientWidth && style.overflowX !== 'visible' && node.scrollWidth > node.clientWidth + 1
        && !node.closest('.noUi-target') && style.overflowX !== 'clip')
      found.over.push(`${name(node)} holds ${node.scrollWidth} in ${node.clientWidth}`);
    if (node.tagName === 'SELECT' || (node.tagName === 'INPUT' && node.type === 'text')) {
      const pen = document.createElement('canvas').getContext('2d');
      pen.font = style.font;
      const words = node.tagName === 'SELECT' ? node.selectedOptions[0]?.textContent ?? '' : node.value;
      const needed = pen.measureText(words).width + parseFloat(style.paddingLeft) + parseFloat(style.paddingRight)
        + (node.tagName === 'SELECT' && parseFloat(style.paddingRight) < 16 ? 16 : 0);
      if (needed > node.clientWidth + 1) found.over.push(`${node.tagName.toLowerCase()} "${words}" ${Math.round(needed)} in ${node.clientWidth}`);
    }
    if (node.matches('.widget-label, .widget-label-basic, label, button')) {
      if (node.scrollWidth > node.clientWidth + 1) found.over.push(`label ${name(node)} ${node.scrollWidth} in ${node.clientWidth}`);
    }
    if (node.matches('button, select, input, .noUi-handle')) {
      const target = node.querySelector('.noUi-touch-area') ?? node.closest('label') ?? node, place = target.getBoundingClientRect();
      if (Math.min(place.width, place.height) < 23.5) found.small.push(`${name(node)} ${Math.round(place.width)}x${Math.round(place.height)}`);
    }
  }
  // Whether controls stay in sight when the end of the sheet is looked at.
  if (desk) {
    const before = scroller.scrollTop;
    const touched = [...desk.querySelectorAll('input, select, .noUi-handle')].find(one => one.offsetParent);
    touched.focus({preventScroll: true});
    const held = getComputedStyle(desk).display === 'contents' ? desk.querySelector('.coldcab-held') : desk;
    scroller.scrollTop += canvas.getBoundingClientRect().bottom - page.top - scroller.clientHeight;
    const place = held?.getBoundingClientRect();
    found.pinned = Boolean(held) && place.top > page.top - 2 && place.bottom <= page.top + scroller.clientHeight + 1;
    touched.blur();
    scroller.scrollTop = before;
  }
  return found;
}
