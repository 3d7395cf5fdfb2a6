// Findings, drawing and lists as one: what is chosen in one of them is lit and led to in the others.
(() => {
  const facts = JSON.parse(document.getElementById("facts").textContent);
  const wires = new Map(Object.entries(facts.wires)), parts = new Map(Object.entries(facts.parts));
  const tabs = [...document.querySelectorAll("#sheets button")], articles = [...document.querySelectorAll("article.finding")];
  const told = document.getElementById("told-text");
  const AT_REST = [...told.childNodes];
  document.documentElement.classList.add("js");

  const make = (name, text, inside = []) => {
    const made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    made.append(...inside);
    return made;
  };
  const push = (map, key, value) => (map.has(key) ? map.get(key).push(value) : map.set(key, [value]));
  const hash = (kind, name) => `#${kind === "part" ? "" : `${kind}-`}${encodeURIComponent(name)}`;
  const link = (kind, name, text) => Object.assign(make("a", text), { href: hash(kind, name) });

  const sheets = [...document.querySelectorAll("figure.sheet")].map((figure) => {
    const svg = figure.querySelector("svg"), view = drawn(figure.querySelector(".paper"));
    view.take(svg, [svg.viewBox.baseVal.width, svg.viewBox.baseVal.height]);
    return { figure, view, number: figure.dataset.sheet };
  });
  let now = null;

  // Where everything stands: on the drawing by wire, part and finding; in the lists by what a row leads to.
  const gather = (selector, key) => {
    const found = new Map();
    for (const group of document.querySelectorAll(`figure.sheet ${selector}`)) push(found, group.dataset[key], group);
    return found;
  };
  const marks = { wire: gather("g.wire", "id"), part: gather("g.symbol", "part"), finding: gather("g.finding", "id") };
  const rows = new Map(), about = new Map(), joined = new Map();
  for (const one of document.querySelectorAll("td a")) push(rows, one.getAttribute("href"), one.closest("tr"));
  for (const article of articles)
    for (const one of article.querySelectorAll("a")) push(about, one.getAttribute("href"), article.dataset.number);
  for (const [id, wire] of wires)
    for (const part of new Set(wire.ends.map((end) => end.split(":")[0]))) push(joined, part, id);

  const showSheet = (sheet) => {
    now = sheet;
    for (const one of sheets) one.figure.classList.toggle("now", one === sheet);
    for (const tab of tabs) tab.setAttribute("aria-pressed", String(tab.dataset.sheet === sheet.number));
    const tab = tabs[sheets.indexOf(sheet)], box = tab.parentNode;
    box.scrollLeft = tab.offsetLeft - box.offsetLeft - (box.clientWidth - tab.offsetWidth) / 2;
  };
  const bring = (group) => {
    const sheet = sheets.find((one) => one.figure.contains(group));
    showSheet(sheet);
    document.getElementById("drawing").scrollIntoView({ block: "nearest" });
    sheet.figure.scrollIntoView({ block: "nearest" });
    sheet.view.bring(group);
  };
  let lit = [];
  const light = (groups) => {
    for (const group of lit) group.classList.remove("lit");
    for (const group of groups) group.classList.add("lit");
    lit = groups;
  };

  // What stands in the panel: a wire or a part with its figures, and the way to its findings and rows.
  const ways = (to) => {
    const found = [];
    for (const number of new Set(about.get(to))) found.push(link("finding", number, `finding ${number}`));
    const lists = new Map();
    for (const row of rows.get(to) || []) push(lists, row.closest(".scroll"), row);
    for (const [list, mine] of lists) {
      const button = make("button", list.getAttribute("aria-label"));
      button.type = "button";
      button.addEventListener("click", () => { open(mine[0]); light([...lit, ...mine]); });
      found.push(button);
    }
    return make("p", found.length ? "In " : "", found.flatMap((one, n) => (n ? [" ", one] : [one])));
  };
  const row = (cell, words) => make("tr", undefined, words.map((word) => make(cell, word)));
  const wireWords = (id) => {
    const wire = wires.get(id), list = make("dl");
    for (const [name, value] of wire.facts) list.append(make("dt", name), make("dd", value));
    const ends = wire.ends.map((end) => (parts.has(end.split(":")[0]) ? link("part", end.split(":")[0], end) : make("span", end)));
    const place = make("p", undefined, [ends[0], " to ", ends[1], wire.title ? `: ${wire.title}` : ""]);
    const states = !wire.states.length ? make("p", "Carries no load current.") : make("table", undefined, [
      make("thead", undefined, [row("th", ["State", "Current", "Drop", "Temperature"])]),
      make("tbody", undefined, wire.states.map((cells) => row("td", cells))),
    ]);
    return [make("h3", wire.name), place, ways(hash("wire", id)), list, states];
  };
  const partWords = (name) => {
    const mine = (joined.get(name) || []).flatMap((id) => [" ", link("wire", id, id)]);
    return [make("h3", (parts.get(name) || [name]).filter(Boolean).join(", ")), ways(hash("part", name)), make("p", mine.length ? "Wires" : "No wire.", mine)];
  };

  let kept = false;
  const groupsOf = (name) => [...(marks.wire.get(name) || []), ...(marks.part.get(name) || [])];
  const tell = (kind, name) => {
    told.replaceChildren(...(kind === "wire" ? wireWords(name) : partWords(name)));
    light((kind === "wire" ? marks.wire : marks.part).get(name) || []);
  };
  const choose = (kind, name, going = true) => {
    kept = true;
    tell(kind, name);
    history.replaceState(null, "", hash(kind, name));
    if (going && lit.length) bring(lit[0]);
    return lit[0];
  };
  const letGo = () => {
    kept = false;
    light([]);
    told.replaceChildren(...AT_REST);
    history.replaceState(null, "", "#drawing");
  };
  const chooseFinding = (article) => {
    const subjects = article.dataset.subjects.split(" ").filter(Boolean);
    const groups = [...(marks.finding.get(article.dataset.number) || []), ...subjects.flatMap(groupsOf)];
    const name = subjects.find((one) => wires.has(one)) || subjects.find((one) => parts.has(one));
    kept = true;
    if (name) tell(wires.has(name) ? "wire" : "part", name);
    else told.replaceChildren(make("p", "This finding belongs to no part or wire on a sheet."));
    light([article, ...groups]);
    history.replaceState(null, "", hash("finding", article.dataset.number));
    if (groups.length) bring(groups[0]);
  };
  const open = (element) => {
    for (let box = element.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
    element.scrollIntoView({ block: "center", inline: "nearest" });
  };

  const hashText = () => {
    try { return decodeURIComponent(location.hash.slice(1)); } catch { return ""; }
  };
  // The address of the page names what it shows: #K1, #wire-320, #finding-2, #sheet-4.
  const goTo = () => {
    const text = hashText(), [, kind, name] = /^(wire|finding|sheet)-(.*)$/s.exec(text) || [];
    if (kind === "wire" && wires.has(name)) choose("wire", name);
    else if (kind === "sheet" && sheets.some((one) => one.number === name)) {
      showSheet(sheets.find((one) => one.number === name));
      now.figure.scrollIntoView({ block: "nearest" });
    } else if (kind === "finding") {
      const article = articles.find((one) => one.dataset.number === name);
      if (article) { article.scrollIntoView({ block: "nearest" }); chooseFinding(article); }
    } else if (parts.has(text)) choose("part", text);
    else if (text === "power-up") document.querySelector("#power-up details").open = true;
  };

  // The drawing: wires, parts, references and marks are pressed or reached by keys.
  const within = (element, kinds) => element.closest?.(kinds);
  const reach = (group, role, label) => {
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", role);
    group.setAttribute("aria-label", label);
  };
  for (const [id, groups] of marks.wire) groups.forEach((group, number) => {
    const wire = wires.get(id), piece = groups.length > 1 ? `, piece ${number + 1} of ${groups.length}` : "";
    reach(group, "button", wire ? `${wire.name}, ${wire.ends[0]} to ${wire.ends[1]}${piece}` : "wire");
  });
  for (const [name, groups] of marks.part) for (const group of groups)
    if (parts.has(name)) reach(group, "button", [...parts.get(name).filter(Boolean), group.textContent.trim().replace(/\s+/g, " ")].join(", "));
  for (const [number, groups] of marks.finding) for (const group of groups) reach(group, "link", `finding ${number}`);
  const before = new Map();
  for (const [id, groups] of gather("g.reference", "id")) for (const group of groups) {
    let piece = group.previousElementSibling;
    while (piece && !(piece.matches("g.wire") && piece.dataset.id === id)) piece = piece.previousElementSibling;
    before.set(group, piece);
    reach(group, "link", `${group.textContent.trim()}, other end of ${wires.get(id)?.name || "this wire"}`);
  }
  // A reference leads to the other piece of its wire.
  const follow = (id, from) => {
    const pieces = marks.wire.get(id) || [], next = pieces[(pieces.indexOf(from) + 1) % pieces.length];
    if (!next) return;
    choose("wire", id, false);
    bring(next);
    next.focus({ preventScroll: true });
  };
  const act = (target, byKey) => {
    const reference = within(target, "g.reference"), wire = within(target, "g.wire"), mark = within(target, "g.finding"), part = within(target, "g.symbol");
    if (reference) follow(reference.dataset.id, before.get(reference));
    else if (mark) location.hash = hash("finding", mark.dataset.id);
    else if (wire && byKey) follow(wire.dataset.id, wire);
    else if (wire && wires.has(wire.dataset.id)) choose("wire", wire.dataset.id, false);
    else if (part && parts.has(part.dataset.part)) choose("part", part.dataset.part, false);
    else return false;
    return true;
  };
  for (const { figure } of sheets) {
    for (const kind of ["pointerover", "focusin"]) figure.addEventListener(kind, (event) => {
      const group = within(event.target, "g.wire");
      if (group && wires.has(group.dataset.id) && !kept) tell("wire", group.dataset.id);
    });
    figure.addEventListener("click", (event) => { act(event.target, false); });
    figure.addEventListener("keydown", (event) => {
      if ((event.key === "Enter" || event.key === " ") && act(event.target, true)) event.preventDefault();
    });
  }
  addEventListener("keydown", (event) => { if (event.key === "Escape") letGo(); });
  for (const [n, tab] of tabs.entries()) tab.addEventListener("click", () => showSheet(sheets[n]));
  zoomButtons(() => now.view);

  // Findings: pressed, left out by their signal word, put in another order.
  for (const article of articles) article.querySelector(".show").addEventListener("click", () => chooseFinding(article));
  for (const button of document.querySelectorAll("button[data-signal]")) button.addEventListener("click", () => {
    const on = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(on));
    for (const one of articles) if (one.dataset.signal === button.dataset.signal) one.classList.toggle("unwanted", !on);
  });
  const compare = new Intl.Collator("en", { numeric: true }).compare;
  const sheetOf = (article) => (marks.finding.get(article.dataset.number) || [])[0]?.closest("figure").dataset.sheet || "~";
  const orders = { "": (one) => one.dataset.number, name: (one) => one.dataset.subjects || "~", sheet: sheetOf };
  document.getElementById("order")?.addEventListener("change", (event) => {
    const key = orders[event.target.value], box = document.getElementById("standing");
    box.append(...[...box.children].sort((a, b) => compare(key(a), key(b))));
  });

  // The search: everything whose number, name, ends or title hold what is wanted.
  const entries = [];
  for (const [id, wire] of wires) entries.push({ id, label: `${wire.name}: ${wire.ends[0]} to ${wire.ends[1]}`, text: `${wire.name} ${wire.ends.join(" ")} ${wire.title}`.toLowerCase(), kind: "wire" });
  for (const [id, part] of parts) entries.push({ id, label: part.filter(Boolean).join(", "), text: part.join(" ").toLowerCase(), kind: "part" });
  const wanted = document.getElementById("wanted"), count = document.getElementById("hits-count"), MOST = 20;
  const pick = (entry) => choose(entry.kind, entry.id)?.focus({ preventScroll: true });
  const rank = (entry, text) => (entry.id.toLowerCase() === text ? 0 : entry.id.toLowerCase().startsWith(text) ? 1 : 2);
  const search = () => {
    const text = wanted.value.trim().toLowerCase();
    const found = text ? entries.filter((entry) => entry.text.includes(text)) : [];
    found.sort((one, two) => rank(one, text) - rank(two, text));
    count.textContent = text ? `${found.length} found${found.length > MOST ? `, the first ${MOST} shown` : ""}` : "";
    document.getElementById("hits").replaceChildren(...found.slice(0, MOST).map((entry) => {
      const button = make("button", entry.label);
      button.type = "button";
      button.addEventListener("click", () => pick(entry));
      return make("li", undefined, [button]);
    }));
    return found;
  };
  wanted.addEventListener("input", search);
  wanted.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    const [first] = search();
    if (first) pick(first);
  });

  addEventListener("beforeprint", () => { for (const one of document.querySelectorAll("details")) one.open = true; });
  showSheet(sheets.find((one) => one.figure.querySelector("g.wire")) || sheets[0]);
  addEventListener("hashchange", goTo);
  goTo();
})();
