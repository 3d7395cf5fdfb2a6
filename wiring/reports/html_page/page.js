"use strict";
(() => {
  const facts = JSON.parse(document.getElementById("facts").textContent);
  const wires = new Map(Object.entries(facts.wires));
  const parts = new Map(Object.entries(facts.parts));
  const sheets = [...document.querySelectorAll("figure.sheet")];
  const tabs = [...document.querySelectorAll("#sheets button")];
  const told = document.getElementById("told-text");
  const sizes = [1, 1.5, 2, 3, 4];
  let size = 0;
  document.documentElement.classList.add("js");

  const make = (name, text, inside = []) => {
    const made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    made.append(...inside);
    return made;
  };

  // Where everything is drawn: by wire, by part, by number of a finding.
  const gather = (selector, key) => {
    const found = new Map();
    for (const group of document.querySelectorAll(`figure.sheet ${selector}`)) {
      const name = group.dataset[key];
      if (!found.has(name)) found.set(name, []);
      found.get(name).push(group);
    }
    return found;
  };
  const drawnWires = gather("g.wire", "id");
  const drawnParts = gather("g.symbol", "part");
  const drawnMarks = gather("g.finding", "id");

  const showSheet = (figure) => {
    for (const one of sheets) one.classList.toggle("now", one === figure);
    for (const tab of tabs) tab.setAttribute("aria-pressed", String(tab.dataset.sheet === figure.dataset.sheet));
  };

  const lit = [];
  const light = (groups) => {
    for (const group of lit.splice(0)) group.classList.remove("lit");
    for (const group of groups) {
      group.classList.add("lit");
      lit.push(group);
    }
  };

  const bring = (group) => {
    showSheet(group.closest("figure.sheet"));
    group.scrollIntoView({ block: "center", inline: "center" });
  };

  const row = (cell, words) => make("tr", undefined, words.map((word) => make(cell, word)));

  const tell = (id) => {
    const wire = wires.get(id);
    if (!wire) return;
    const list = make("dl");
    for (const [name, value] of wire.facts) list.append(make("dt", name), make("dd", value));
    const pieces = [make("h3", wire.name), make("p", `${wire.ends[0]} to ${wire.ends[1]}${wire.title ? ": " : ""}${wire.title}`), list];
    if (wire.states.length) {
      const head = make("thead", undefined, [row("th", ["State", "Current", "Drop", "Temperature"])]);
      pieces.push(make("table", undefined, [head, make("tbody", undefined, wire.states.map((cells) => row("td", cells)))]));
    } else {
      pieces.push(make("p", "Carries no load current."));
    }
    told.replaceChildren(...pieces);
    light(drawnWires.get(id) || []);
  };

  for (const [id, groups] of drawnWires) {
    const wire = wires.get(id);
    groups.forEach((group, number) => {
      group.setAttribute("tabindex", "0");
      group.setAttribute("role", "button");
      const piece = groups.length > 1 ? `, piece ${number + 1} of ${groups.length}` : "";
      group.setAttribute("aria-label", wire ? `${wire.name}, ${wire.ends[0]} to ${wire.ends[1]}${piece}` : "wire");
      for (const line of group.querySelectorAll("polyline")) {
        const hit = line.cloneNode();
        hit.setAttribute("class", "hit");
        group.append(hit);
      }
    });
  }

  // A cross reference leads to the other piece of its wire, which is the nearest one on another place.
  const follow = (id, from) => {
    const pieces = drawnWires.get(id) || [];
    const at = pieces.indexOf(from);
    const next = pieces[(at + 1) % pieces.length];
    if (next) {
      bring(next);
      next.focus({ preventScroll: true });
    }
  };
  for (const [id, groups] of gather("g.reference", "id")) {
    for (const group of groups) {
      let before = group.previousElementSibling;
      while (before && !(before.matches("g.wire") && before.dataset.id === id)) before = before.previousElementSibling;
      group.setAttribute("role", "link");
      group.setAttribute("tabindex", "0");
      const wire = wires.get(id);
      group.setAttribute("aria-label", `${group.textContent.trim()}, other end of ${wire ? wire.name : "this wire"}`);
      const go = () => follow(id, before);
      group.addEventListener("click", go);
      group.addEventListener("keydown", (event) => {
        if (event.key === "Enter") go();
      });
    }
  }

  const wireAt = (event) => event.target.closest && event.target.closest("g.wire");
  for (const kind of ["pointerover", "focusin", "click"]) {
    document.getElementById("drawing").addEventListener(kind, (event) => {
      const group = wireAt(event);
      if (group) tell(group.dataset.id);
    });
  }
  document.getElementById("drawing").addEventListener("keydown", (event) => {
    const group = wireAt(event);
    if (group && (event.key === "Enter" || event.key === " ")) {
      event.preventDefault();
      follow(group.dataset.id, group);
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") light([]);
  });

  for (const tab of tabs) {
    tab.addEventListener("click", () => showSheet(sheets.find((one) => one.dataset.sheet === tab.dataset.sheet)));
  }
  for (const button of document.querySelectorAll("#zoom button")) {
    button.addEventListener("click", () => {
      const step = Number(button.dataset.step);
      size = step ? Math.min(Math.max(size + step, 0), sizes.length - 1) : 0;
      for (const svg of document.querySelectorAll(".paper svg")) svg.style.width = `${100 * sizes[size]}%`;
    });
  }

  const groupsOf = (name) => [...(drawnWires.get(name) || []), ...(drawnParts.get(name) || [])];
  for (const article of document.querySelectorAll("article.finding")) {
    article.querySelector(".show").addEventListener("click", () => {
      const marks = drawnMarks.get(article.dataset.number) || [];
      const subjects = article.dataset.subjects.split(" ").filter(Boolean);
      const groups = [...marks, ...subjects.flatMap(groupsOf)];
      if (!groups.length) {
        told.replaceChildren(make("p", "This finding belongs to no part or wire on a sheet."));
        return;
      }
      const wire = subjects.find((name) => drawnWires.has(name));
      if (wire) tell(wire);
      else told.replaceChildren(make("p", `Finding ${article.dataset.number}: ${subjects.map((name) => (parts.get(name) || [name]).filter(Boolean).join(", ")).join("; ")}`));
      light(groups);
      bring(groups[0]);
    });
  }

  // The search: everything whose number, name, ends or title hold what is wanted.
  const entries = [];
  for (const [id, wire] of wires) entries.push({ id, label: `${wire.name}: ${wire.ends[0]} to ${wire.ends[1]}`, text: `${wire.name} ${wire.ends.join(" ")} ${wire.title}`.toLowerCase(), wire: true });
  for (const [id, part] of parts) entries.push({ id, label: part.filter(Boolean).join(", "), text: part.join(" ").toLowerCase(), wire: false });
  const wanted = document.getElementById("wanted");
  const hits = document.getElementById("hits");
  const count = document.getElementById("hits-count");
  const most = 20;
  const choose = (entry) => {
    const groups = groupsOf(entry.id);
    if (entry.wire) tell(entry.id);
    else told.replaceChildren(make("h3", entry.label));
    light(groups);
    if (groups.length) bring(groups[0]);
    if (entry.wire && groups.length) groups[0].focus({ preventScroll: true });
  };
  const rank = (entry, text) => (entry.id.toLowerCase() === text ? 0 : entry.id.toLowerCase().startsWith(text) ? 1 : 2);
  const search = () => {
    const text = wanted.value.trim().toLowerCase();
    const found = text ? entries.filter((entry) => entry.text.includes(text)) : [];
    found.sort((one, two) => rank(one, text) - rank(two, text));
    count.textContent = text ? `${found.length} found${found.length > most ? `, the first ${most} shown` : ""}` : "";
    hits.replaceChildren(...found.slice(0, most).map((entry) => {
      const button = make("button", entry.label);
      button.type = "button";
      button.addEventListener("click", () => choose(entry));
      return make("li", undefined, [button]);
    }));
    return found;
  };
  wanted.addEventListener("input", search);
  wanted.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    const [first] = search();
    if (first) choose(first);
  });

  addEventListener("beforeprint", () => {
    for (const one of document.querySelectorAll("details")) one.open = true;
  });
  showSheet(sheets.find((one) => one.querySelector("g.wire")) || sheets[0]);
})();
