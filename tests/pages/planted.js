// Does to an open page whatever a reader might, and tells what came of it. `planted` was put there before the page began.
(async () => {
  const faults = [];
  const say = (fault) => { if (faults.length < 12) faults.push(fault); };
  const shown = (element) => element.outerHTML.replace(/\s+/g, ' ').slice(0, 160);

  const elements = [...document.querySelectorAll('*')];
  const never = 'script, iframe, frame, object, embed, applet, form, button, select, textarea, base, link, template, portal, video, audio, source, ' +
    'foreignObject, animate, animateMotion, animateTransform, set, use, image, maction, semantics > annotation-xml, meta[http-equiv=refresh i]';
  // The page's one script of its own stands last in it; the policy names it by its digest.
  const own = [...document.body.children].filter((child) => child.matches('script') && /const PLACES = |const table = document\.querySelector\("\.index"\)/.test(child.textContent));
  if (own.length > 1) say(own.length + ' scripts of its own');
  // A panel of a train shows the lines of a drawing above it again, and nothing from anywhere else.
  const again = (element) => element.matches('svg.again > use:only-child') && element.attributes.length === 1 && /^#sheet\.drawing\..+\.lines$/.test(element.getAttribute('href')) &&
    document.getElementById(element.getAttribute('href').slice(1))?.matches('svg.drawing > g');
  const fit = (element) => own.includes(element) || element.matches('th > button[type=button]') || again(element);
  for (const element of document.querySelectorAll(never)) if (!fit(element)) say('an element that has no place here: ' + shown(element));
  if (document.querySelectorAll('style').length !== 1) say(document.querySelectorAll('style').length + ' style sheets');
  if (document.querySelectorAll('title').length !== 1 + document.querySelectorAll('svg title').length) say('a title in the wrong place');
  // The page closes where it should: nothing has broken out of the frame that the templates make.
  const stray = [...document.body.children].filter((child) => !child.matches('a.skip, div.sheet') && !own.includes(child));
  for (const element of stray) say('out of its frame: ' + shown(element));

  for (const element of elements) {
    for (const { name, value } of element.attributes) {
      if (/^on/i.test(name)) say('a handler: ' + name + ' on ' + shown(element));
      if (/^(srcdoc|formaction|action|ping|background|poster|srcset|xlink:href)$/i.test(name)) say('an attribute that has no place here: ' + name + ' on ' + shown(element));
      if (name === 'style' && /url\(|expression|@import/i.test(value)) say('a style that fetches: ' + shown(element));
      if (name === 'href' || name === 'src') {
        const scheme = new URL(value, 'https://here.invalid/').protocol;
        const allowed = name === 'src' ? /^data:image\/(png|jpeg|gif|webp);base64,/.test(value) || scheme === 'https:' : ['http:', 'https:', 'mailto:', 'tel:'].includes(scheme);
        if (!allowed) say('leads to ' + value + ': ' + shown(element));
      }
    }
  }

  // Links are followed by hand only as far as the page allows it: what leaves it is stopped when it comes to the window.
  addEventListener('click', (event) => { if (!/^javascript:/i.test(event.target.closest?.('a')?.href ?? '')) event.preventDefault(); });
  for (const element of elements) {
    for (const kind of ['mouseover', 'mouseenter', 'pointerover', 'focus', 'focusin', 'blur', 'load', 'error', 'toggle', 'begin', 'end', 'animationstart', 'scroll', 'wheel', 'keydown', 'copy']) {
      element.dispatchEvent(new Event(kind, { bubbles: false }));
    }
    if (element.tagName === 'DETAILS') element.open = true;
    if (element.tagName === 'A') element.click();
  }
  await new Promise((done) => setTimeout(done, 150));
  return { faults, called: window.calledBy ?? [], elements: elements.length, text: document.body.innerText };
})()
