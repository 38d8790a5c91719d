// Looks at the page as it stands in the window and returns one line for each
// thing that breaks a rule: "rule: what was found". Contrast after WCAG 2.1,
// 1.4.3 and 1.4.11; the formula, the limits and the clauses from memory.
(() => {
  const faults = new Set();
  const say = (rule, text) => faults.add(rule + ": " + text);
  const short = el => el.tagName.toLowerCase() + (el.className && el.getAttribute("class") ? "." + el.getAttribute("class") : "") + " " + JSON.stringify((el.textContent || "").trim().slice(0, 40));
  const shown = el => el.checkVisibility() && el.getClientRects().length > 0;
  const all = (what, of = document) => [...of.querySelectorAll(what)].filter(shown);

  // Colours.
  const rgb = text => { const n = text.match(/[\d.]+/g).map(Number); return { r: n[0], g: n[1], b: n[2], a: n.length > 3 ? n[3] : 1 }; };
  const part = c => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  const light = c => 0.2126 * part(c.r) + 0.7152 * part(c.g) + 0.0722 * part(c.b);
  const contrast = (a, b) => { const x = light(rgb(a)), y = light(rgb(b)); return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05); };
  const grounds = new Map(), held = new Set();
  const groundOf = el => {
    if (!grounds.has(el)) grounds.set(el, groundAt(el));
    return grounds.get(el);
  };
  const groundAt = el => {
    for (let e = el; e; e = e.parentElement) {
      const s = getComputedStyle(e);
      if (s.opacity !== "1") say("contrast", "opacity on " + short(e));
      if (rgb(s.backgroundColor).a > 0) return s.backgroundColor;
      return e.parentElement ? groundOf(e.parentElement) : "rgb(255, 255, 255)";
    }
    return "rgb(255, 255, 255)";
  };
  const least = (px, weight) => px >= 24 || px >= 18.66 && weight >= 700 ? 3 : 4.5;
  const hold = (ink, ground, want, el) => {
    const key = ink + ground + want;
    if (held.has(key)) return;
    const c = contrast(ink, ground);
    if (c >= want) held.add(key);
    if (!(c >= want)) say("contrast", c.toFixed(2) + " of " + ink + " on " + ground + ", want " + want + ", in " + short(el));
  };

  // Width.
  const room = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > room) say("width", "the page is " + document.documentElement.scrollWidth + " px wide in a window of " + room);
  const rolls = el => /auto|scroll/.test(getComputedStyle(el).overflowX);
  const inRoll = el => { for (let e = el; e; e = e.parentElement) if (rolls(e)) return true; return false; };
  for (const el of all("body *")) {
    const box = el.getBoundingClientRect();
    if ((box.right > room + 0.5 || box.left < -0.5) && !inRoll(el)) say("width", "from " + Math.round(box.left) + " to " + Math.round(box.right) + " px in a window of " + room + ": " + short(el));
    const hides = /hidden|clip/.test(getComputedStyle(el).overflowX) && !(el instanceof SVGElement);
    if (hides && el.scrollWidth > el.clientWidth) say("width", "cut off: " + short(el));
    if (rolls(el) && el.scrollWidth > el.clientWidth && !(el.tabIndex === 0 && el.getAttribute("role") === "region" && el.getAttribute("aria-label")))
      say("keyboard", "rolls sideways, and is no named region that the keyboard reaches: " + short(el));
  }

  // Texts of the page itself.
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let n = walk.nextNode(); n; n = walk.nextNode()) {
    const el = n.parentElement;
    if (!n.data.trim() || !el || el instanceof SVGElement || !shown(el)) continue;
    const s = getComputedStyle(el), px = parseFloat(s.fontSize);
    if (px < 11.995) say("size", px + " px: " + short(el));
    hold(s.color, groundOf(el), least(px, Number(s.fontWeight)), el);
  }

  // Drawings: what lies beneath a place is the last filled shape before it.
  for (const svg of all("svg")) {
    const paper = groundOf(svg), shapes = [...svg.querySelectorAll("polygon,polyline,rect,circle,path,text")], filled = [];
    const scale = svg.getScreenCTM().a, frame = svg.viewBox.baseVal, texts = [];
    const beneath = (x, y) => {
      const at = svg.createSVGPoint(); at.x = x; at.y = y;
      for (let i = filled.length - 1; i >= 0; i--) if (filled[i].isPointInFill(at)) return getComputedStyle(filled[i]).fill;
      return paper;
    };
    for (const el of shapes) {
      const s = getComputedStyle(el), kind = el.getAttribute("class") || "";
      if (el.tagName === "text") {
        const b = el.getBBox(), turn = el.getAttribute("transform") ? el.transform.baseVal.consolidate().matrix : null;
        const place = (x, y) => { const p = svg.createSVGPoint(); p.x = x; p.y = y; return turn ? p.matrixTransform(turn) : p; };
        const px = parseFloat(s.fontSize) * scale;
        if (px < 11.995) say("size", px.toFixed(2) + " px in a drawing: " + short(el));
        for (const fx of [0, 0.25, 0.5, 0.75, 1]) for (const fy of [0.3, 0.7]) {
          const p = place(b.x + fx * b.width, b.y + fy * b.height);
          if (p.x < frame.x - 0.1 || p.y < frame.y - 0.1 || p.x > frame.x + frame.width + 0.1 || p.y > frame.y + frame.height + 0.1) say("clipped", "a text leaves its drawing: " + short(el));
          hold(s.fill, beneath(p.x, p.y), least(px, Number(s.fontWeight)), el);
        }
        const r = el.getBoundingClientRect();
        for (const o of texts) if (r.left < o.r.right - 1 && o.r.left < r.right - 1 && r.top < o.r.bottom - 4 && o.r.top < r.bottom - 4) say("overlap", short(el) + " over " + short(o.el));
        texts.push({ el, r });
        continue;
      }
      const length = el.getTotalLength(), ink = s.stroke !== "none" ? s.stroke : s.fill;
      const meant = !/\b(grid|paper|tolerance|guard)\b/.test(kind); // the grid helps the eye along; bands end at lines
      if (s.fill !== "none" && /polygon|rect|circle/.test(el.tagName)) { if (s.stroke !== "none" && meant) hold(s.stroke, s.fill, 3, el); }
      if (meant) for (let i = 0; i <= 8; i++) { const p = el.getPointAtLength(length * i / 8); hold(ink, beneath(p.x, p.y), 3, el); }
      if (s.fill !== "none" && /polygon|rect|circle/.test(el.tagName) && kind !== "disc") filled.push(el); // a point over another is of its ink
    }
    const name = svg.querySelector(":scope > title"), desc = svg.querySelector(":scope > desc");
    if (svg.getAttribute("role") !== "img" || !name || !name.textContent || !desc || !desc.textContent) say("structure", "a drawing without role, title or desc");
  }

  // Structure.
  if (!document.documentElement.lang) say("structure", "no language");
  if (!document.title.trim()) say("structure", "no title");
  for (const mark of ["main", "body > header", "body > footer"]) if (all(mark).length !== 1) say("structure", all(mark).length + " of " + mark);
  let level = 0;
  for (const h of document.querySelectorAll("h1,h2,h3,h4,h5,h6")) {
    const now = Number(h.tagName[1]);
    if (now > level + 1 || now === 1 && level > 0) say("structure", "heading " + short(h) + " after one of level " + level);
    level = now;
  }
  for (const t of document.querySelectorAll("table")) {
    if (!t.caption || !t.caption.textContent.trim()) say("structure", "a table without a caption");
    for (const h of t.querySelectorAll("th")) if (h.scope !== (h.closest("thead") ? "col" : "row")) say("structure", "heading cell " + short(h) + " of scope " + h.scope);
  }
  for (const a of document.querySelectorAll("a[href]")) if (a.hash !== "" && !document.getElementById(a.hash.slice(1))) say("structure", "a link leads nowhere: " + short(a));
  return [...faults];
})()
