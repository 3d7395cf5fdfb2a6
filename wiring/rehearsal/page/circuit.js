"use strict";
// The sheets: what every stroke carries, contacts in their position, hands on operators, values under the pointer.
const Circuit = (() => {
  const SVG = "http://www.w3.org/2000/svg", SCALE = 4.4, LARGEST = 7, RANK = ["zero", "float", "driven", "charged", "live", "flow"];
  const sheets = new Map(), by = (id) => document.getElementById(id);
  // Wide enough that hands are hit by a finger, and no larger than reads well.
  const view = drawn(by("sheet"), (width, room) => Math.max(SCALE, Math.min(room / width, LARGEST)));
  let shown = 0, stale = Infinity, turned = false, seen = null, offers = null, hands = new Map(), chosen = "";

  const worse = (a, b) => (RANK.indexOf(a) > RANK.indexOf(b) ? a : b);
  const look = (node) => (seen && seen.nodes[node] ? seen.nodes[node][0] : "float");
  const hidden = (element, off) => element.classList.toggle("away", off);

  function take(sheet) {
    const old = sheets.get(sheet.number);
    if (old && old.mark === sheet.mark) return;
    const parsed = new DOMParser().parseFromString(sheet.svg, "image/svg+xml").documentElement;
    const svg = document.importNode(parsed, true);
    svg.setAttribute("role", "group");
    svg.querySelector("title")?.remove();
    const all = (rule) => [...svg.querySelectorAll(rule)];
    sheets.set(sheet.number, { ...sheet, svg, wires: all("g.wire"), fans: all("g.fan-out"),
      strokes: all("[data-of]"), moving: all("[data-when]"), symbols: all("g.symbol"),
      places: all("g.enclosure[data-what='part'], g.enclosure[data-what='operator']") });
    dress(sheets.get(sheet.number));
    if (sheet.number === shown) show(shown, false);
    tabs();
  }

  function tabs() {
    const box = by("tabs"), numbers = [...sheets.keys()].sort((a, b) => a - b);
    const stop = (n) => (/stop|control/i.test(sheets.get(n).title) ? 0 : 1);
    numbers.sort((a, b) => stop(a) - stop(b) || a - b);
    renew(box, ...numbers.map((n) => {
      const button = document.createElement("button");
      button.textContent = `${n} ${sheets.get(n).title}${n < stale ? "" : ", being laid out anew …"}`;
      button.classList.toggle("busy", n >= stale);
      button.setAttribute("aria-pressed", String(n === shown));
      button.addEventListener("click", () => { turned = true; show(n); });
      return button;
    }));
    if (numbers.length && (!sheets.has(shown) || (!turned && shown !== numbers[0]))) show(numbers[0]);
  }

  function show(number, fresh = true) {
    const sheet = sheets.get(number);
    if (!sheet) return;
    shown = number;
    renew(by("sheet"), sheet.svg);
    view.take(sheet.svg, sheet.size);
    if (fresh) by("sheet").scrollTo(0, 0);
    for (const button of by("tabs").children)
      button.setAttribute("aria-pressed", String(button.textContent.startsWith(`${number} `)));
    paint(sheet);
  }

  // Everything that can be worked gets an area that a finger hits, with a name.
  function dress(sheet) {
    for (const old of sheet.svg.querySelectorAll("g.hand")) old.remove();
    sheet.hands = [];
    if (!offers) return;
    for (const symbol of sheet.symbols) {
      const part = symbol.dataset.part, hand = hands.get(part);
      if (!hand || !symbol.dataset.body) continue;
      const [x1, y1, x2, y2] = symbol.dataset.body.split(" ").map(Number);
      const least = 44 / SCALE, w = Math.max(x2 - x1 + 4, least), h = Math.max(y2 - y1 + 4, least);
      const group = document.createElementNS(SVG, "g"), rect = document.createElementNS(SVG, "rect");
      const at = { x: (x1 + x2 - w) / 2, y: (y1 + y2 - h) / 2, width: w, height: h, rx: 1.5 };
      for (const [key, value] of Object.entries(at)) rect.setAttribute(key, value);
      group.setAttribute("class", "hand");
      group.setAttribute("role", "button");
      group.setAttribute("tabindex", "0");
      group.dataset.part = part;
      group.append(rect);
      hand.wire(group);
      sheet.svg.append(group);
      sheet.hands.push(group);
    }
  }

  function paint(sheet) {
    if (!seen || !sheet) return;
    const cut = new Set(seen.cut), open = new Set(seen.open);
    for (const group of sheet.wires) {
      const id = group.dataset.id;
      group.dataset.look = cut.has(id) ? "cut" : (seen.wires[id] || ["float"])[0];
      group.classList.toggle("lit", id === chosen);
    }
    for (const group of sheet.fans) group.dataset.look = look(group.dataset.id);
    for (const stroke of sheet.strokes) stroke.dataset.look = look(stroke.dataset.of);
    for (const piece of sheet.moving) {
      const at = piece.dataset.when.lastIndexOf(" "), path = piece.dataset.when.slice(0, at);
      const closed = !open.has(path);
      hidden(piece, closed !== (piece.dataset.when.slice(at + 1) === "closed"));
      const ends = offers?.contacts[path];
      piece.dataset.look = ends && closed ? worse(look(ends[0]), look(ends[1])) : "blade";
    }
    const works = new Set(seen.works), on = new Set(seen.on);
    for (const symbol of sheet.symbols) {
      symbol.classList.toggle("works", works.has(symbol.dataset.part));
      symbol.classList.toggle("on", on.has(symbol.dataset.part));
      symbol.classList.toggle("lit", symbol.dataset.part === chosen);
    }
    for (const place of sheet.places) place.classList.toggle("lit", place.dataset.id === chosen);
    for (const group of sheet.hands) hands.get(group.dataset.part)?.name(group);
  }

  // Where the name of a wire or part is drawn; the sheet that shows now first.
  function sheetOf(name, inCabinet) {
    const has = (sheet) => (inCabinet ? sheet.places.some((one) => one.dataset.id === name)
      : sheet.wires.some((one) => one.dataset.id === name) || sheet.symbols.some((one) => one.dataset.part === name));
    const here = sheets.get(shown);
    if (here && has(here)) return shown;
    for (const [number, sheet] of sheets) if (has(sheet)) return number;
    return 0;
  }

  function choose(name, go = true, inCabinet = false) {
    chosen = name;
    const number = go ? sheetOf(name, inCabinet) : shown;
    if (number && number !== shown) { turned = true; show(number); }
    paint(sheets.get(shown));
    const one = [...by("sheet").querySelectorAll(".lit")][0];
    if (go && one) view.bring(one);
    return number;
  }

  const volts = (dc, ac) => {
    const told = [];
    if (dc !== null && Math.abs(dc) >= 0.05) told.push(`${dc} V DC`);
    if (ac !== null && ac >= 0.05) told.push(`${ac} V AC`);
    return told.length ? `${told.join(", ")} to PE` : dc === null && ac === null ? "no potential" : "0 V to PE";
  };
  const LOOKS = { flow: "current flows", live: "live, no current", charged: "charged by capacitors, no supply",
    driven: "driven, as the drive is set", zero: "0 V, tied to PE", float: "floating, not dead", cut: "broken" };

  function words(element) {
    const wire = element.closest("g.wire"), symbol = element.closest("g.symbol, g.hand, g.enclosure[data-what='part']");
    if (wire && seen) {
      const id = wire.dataset.id, row = seen.wires[id], about = offers?.wires[id] || [];
      if (!row) return id;
      const amps = [row[1] >= 1e-4 ? `${row[1]} A DC` : "", row[2] >= 1e-4 ? `${row[2]} A AC` : ""].filter(Boolean);
      const label = seen.cut.includes(id) ? LOOKS.cut : LOOKS[row[0]];
      if (row[0] === "driven") return `${id} ${about[2] || ""}, ${about[0]} to ${about[1]}: ${label}; as set ${row[1]} A, in no network`;
      return `${id} ${about[2] || ""} ${about[3] || ""}, ${about[0]} to ${about[1]}: ${label}; `
        + `${amps.join(", ") || "no current"}; ${volts(row[3], row[4])}`;
    }
    if (symbol && seen) {
      const part = symbol.dataset.part || symbol.dataset.id, about = offers?.titles[part] || ["", ""];
      const nodes = Object.entries(seen.nodes).filter(([node]) => node.startsWith(`${part}:`)).slice(0, 12);
      return `${part} ${about[0]} ${about[1]}: `
        + nodes.map(([node, row]) => `${node.slice(part.length + 1)} ${volts(row[1], row[2])}`).join("; ");
    }
    return "";
  }

  function listen(pick) {
    const box = by("sheet");
    const tell = (event) => { const text = words(event.target); if (text) by("under").textContent = text; };
    box.addEventListener("pointermove", tell);
    box.addEventListener("focusin", tell);
    box.addEventListener("click", (event) => {
      const reference = event.target.closest("g.reference"), wire = event.target.closest("g.wire");
      const symbol = event.target.closest("g.symbol, g.hand, g.words, g.enclosure[data-what='part'], g.enclosure[data-what='operator']");
      if (reference) {
        const other = [...sheets.keys()].find((n) => n !== shown
          && sheets.get(n).wires.some((one) => one.dataset.id === reference.dataset.id));
        if (other) show(other);
        choose(reference.dataset.id, false);
        pick(reference.dataset.id);
      } else if (wire) pick(wire.dataset.id);
      else if (symbol) pick((symbol.dataset.part || symbol.dataset.id || "").split("/")[0]);
    });
  }

  zoomButtons(() => view);
  return {
    take, choose, listen, words,
    drawing({ count, waits }) {
      for (const n of [...sheets.keys()]) if (n > count) sheets.delete(n);
      stale = waits || Infinity;
      tabs();
    },
    offers(data, made) { offers = data; hands = made; for (const sheet of sheets.values()) dress(sheet); },
    machine(data) { seen = data; paint(sheets.get(shown)); },
  };
})();
