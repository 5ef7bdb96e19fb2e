// What can be wrong with the geometry and the links of an open page, as a list of sentences.
(() => {
  const faults = [];
  const say = (fault) => { if (faults.length < 12) faults.push(fault); };
  const name = (element) => {
    const own = element.id ? '#' + element.id : '.' + (element.getAttribute('class') || '').replace(/ /g, '.');
    return element.tagName.toLowerCase() + own + ' "' + element.textContent.trim().replace(/\s+/g, ' ').slice(0, 40) + '"';
  };

  // Nothing is wider than the window, save what scrolls in a place of its own.
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) {
    say('the page is ' + document.documentElement.scrollWidth + ' px wide in a window of ' + wide);
    const scrolls = (element) => element && element !== document.body &&
      (getComputedStyle(element).overflowX !== 'visible' || scrolls(element.parentElement));
    const out = (element) => element.getBoundingClientRect().right > wide + 0.5;
    for (const element of document.body.querySelectorAll('*')) {
      if (out(element) && !out(element.parentElement) && !scrolls(element.parentElement)) say('  reaches out: ' + name(element));
    }
  }

  // Lettering of a drawing: the corners of what is inked, turned as it is turned. A line of type takes more height than
  // its letters: of the font's size, letters and figures reach 0.74 above the base line and 0.22 below it.
  const corners = (text) => {
    const box = text.getBBox(), matrix = text.getScreenCTM(), style = getComputedStyle(text);
    const size = parseFloat(style.fontSize);
    const middle = box.y + box.height / 2;
    const half = Math.min(box.height / 2, size * 0.48);
    const at = (x, y) => new DOMPoint(x, y).matrixTransform(matrix);
    return [at(box.x, middle - half), at(box.x + box.width, middle - half), at(box.x + box.width, middle + half), at(box.x, middle + half)];
  };
  // Two convex shapes are apart when the shadow of one on some side of either ends before the other's begins.
  const apart = (one, other) => [one, other].some((shape) => shape.some((point, i) => {
    const next = shape[(i + 1) % shape.length], x = point.y - next.y, y = next.x - point.x, long = Math.hypot(x, y) || 1;
    const shadow = (points) => points.map((p) => (p.x * x + p.y * y) / long);
    const a = shadow(one), b = shadow(other);
    return Math.max(...a) <= Math.min(...b) + 0.5 || Math.max(...b) <= Math.min(...a) + 0.5;
  }));
  let lettered = 0;
  for (const drawing of document.querySelectorAll('svg')) {
    if (drawing.ownerSVGElement) continue;
    const texts = [...drawing.querySelectorAll('text')].filter((text) => text.textContent.trim() && text.getBBox().width > 0);
    const boxes = texts.map(corners);
    const frame = drawing.getBoundingClientRect();
    lettered += texts.length;
    texts.forEach((text, i) => {
      for (let j = i + 1; j < texts.length; j += 1) {
        if (!apart(boxes[i], boxes[j])) say('lettering overlaps: "' + text.textContent + '" and "' + texts[j].textContent + '" in ' + name(drawing.closest('[id]') || drawing));
      }
      const out = boxes[i].some((p) => p.x < frame.left - 1 || p.x > frame.right + 1 || p.y < frame.top - 1 || p.y > frame.bottom + 1);
      if (out) say('lettering runs off its drawing: "' + text.textContent + '" in ' + name(drawing.closest('[id]') || drawing));
      const shown = parseFloat(getComputedStyle(text).fontSize) * Math.hypot(text.getScreenCTM().a, text.getScreenCTM().b);
      // A narrow window may scroll a drawing in its frame; a desk or a sheet of paper has room for all of it.
      const paper = drawing.closest('.paper');
      if (wide > 1000 && i === 0 && paper && paper.scrollWidth > paper.clientWidth + 1) {
        say('cut by its frame: ' + name(drawing.closest('[id]') || drawing));
      }
      if (shown < 9.4) say('lettering of ' + shown.toFixed(1) + ' px: "' + text.textContent + '" in ' + name(drawing.closest('[id]') || drawing));
    });
  }

  // Every link on the page leads to a place on it; those to other pages are looked up by who asks.
  const away = [];
  for (const link of document.querySelectorAll('a[href]')) {
    const href = link.getAttribute('href');
    if (href.startsWith('#')) {
      if (!document.getElementById(decodeURIComponent(href.slice(1)))) say('leads nowhere: ' + href);
    } else if (!/^[a-z]+:/i.test(href)) {
      away.push(link.href);
    }
  }
  const motion = document.getAnimations().length;
  if (motion) say(motion + ' animations run');
  return { faults, away: [...new Set(away)], lettered, links: document.links.length };
})()
