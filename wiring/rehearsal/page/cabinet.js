"use strict";
// The sheet at the cabinet: one card a line, own keys, and nothing lost between this device and the file.
const Cabinet = (() => {
  const KEYS = [..."789", "del", ..."456", "k", ..."123", "m", "-", "0", ".", "M"];
  const box = (id) => document.getElementById(id);
  const node = (tag, text = "", name = "") => Object.assign(document.createElement(tag), { textContent: text, className: name });
  let cards = [], first = [], found = {}, causes = {}, at = 0, typed = "", done = "", said = "", extra = null, file = "";
  let pending = {};

  function read(name, other) {
    try { return JSON.parse(localStorage.getItem(`rehearsal ${name}`)) ?? other; } catch { return other; }
  }
  function store(name, value) {
    try { localStorage.setItem(`rehearsal ${name}`, JSON.stringify(value)); } catch { /* a private window keeps nothing */ }
  }
  const now = () => extra || cards[at];
  const entry = (card) => pending[card.id] ? [pending[card.id].text, 0, false] : found[card.id];

  function button(text, name, press) {
    const made = node("button", text, name);
    made.addEventListener("click", press);
    return made;
  }

  function show() {
    const card = now();
    if (!card) return;
    const place = box("card"), mine = entry(card), parts = [];
    const filled = cards.filter((one) => found[one.id]?.[0]).length;
    parts.push(node("p", `${extra ? "Asked for beside the sheet" : `Line ${card.id}, ${at + 1} of ${cards.length}; ${filled} filled`}. Stage ${card.stage}`));
    parts.push(node("p", card.who, "who"));
    const waits = card.change && done !== card.id;
    if (card.change || (extra && card.position)) {
      const band = node("div", "", "band");
      band.append(node("p", extra ? card.position : card.change));
      if (waits) band.append(button("It stands so", "", () => { done = card.id; show(); }));
      parts.push(band);
    }
    parts.push(node("p", card.action, "do"));
    if (card.meter) parts.push(node("p", card.meter));
    if (card.red) parts.push(node("p", `red ${card.red}`, "probe red"));
    if (card.black) parts.push(node("p", card.stay ? `leave black on ${card.black}` : `black ${card.black}`, "probe black"));
    if (!card.red && card.at) parts.push(node("p", card.at));
    if (card.wires.length) parts.push(node("p", `wires ${card.wires.join(", ")}`));
    parts.push(node("p", `Expected: ${card.expected}`));
    parts.push(node("p", typed || mine?.[0] || "–", "typed"));
    if (said) parts.push(node("p", said, "wrong"));
    if (mine?.[2]) parts.push(node("p", `Outside of what is expected. Switch off before you look. It may mean: ${card.wrong}`, "wrong"));
    else if (mine?.[1] && !typed) parts.push(node("p", "Written, and as expected.", "fine"));
    const where = card.red || card.wire || card.about[0];
    const go = (inCabinet) => () => { view("machine"); pick(named(where)); Circuit.choose(named(where), true, inCabinet); };
    if (where) parts.push(button("Show it on the drawing", "", go(false)), button("Show it in the cabinet", "", go(true)));
    renew(place, ...(at === 0 && !extra ? first.map((text) => node("p", text)) : []), ...parts);
    keys(card, waits);
    told();
  }

  const named = (where) => (where.includes(":") ? where.split(":")[0] : where);

  function keys(card, waits) {
    const pad = box("pad"), rows = [];
    const wide = card.answers.length === 1 || card.answers.length === 2;
    card.answers.forEach((word, n) => rows.push(button(n ? word : `As expected: ${word}`, "wide", () => { typed = word; keep(); })));
    if (!wide || card.answers[0] === "OL") {
      for (const key of KEYS) rows.push(button(key === "del" ? "⌫" : key, "", () => {
        typed = key === "del" ? typed.slice(0, -1) : (typed + key).slice(0, 20);
        said = "";
        show();
      }));
      rows.push(button("OL", "half", () => { typed = "OL"; show(); }), button("Keep", "half keep", keep));
    }
    rows.push(button("Back", "half", () => go(extra ? at : at - 1)), button("Next", "half", () => go(extra ? at : at + 1)));
    rows.push(button("To the next empty line", "wide", () => {
      const next = cards.findIndex((one, n) => n > at && !found[one.id]?.[0]);
      if (next >= 0) go(next);
    }));
    for (const one of rows) if (waits && !["Back", "Next", "To the next empty line"].includes(one.textContent)) one.disabled = true;
    renew(pad, ...rows);
  }

  function go(place) {
    at = Math.max(0, Math.min(place, cards.length - 1));
    typed = said = "";
    extra = null;
    store(`at ${file}`, cards[at]?.id);
    show();
  }

  function keep() {
    const card = now();
    if (!typed) return;
    const edition = found[card.id]?.[1] || 0;
    pending[card.id] = { text: typed, edition, what: card.what };
    if (extra && card.id.endsWith("+")) Object.assign(pending[card.id], { meter: card.meter_word, red: card.red, black: card.black });
    store(`pending ${file}`, pending);
    typed = "";
    send(card.id, true);
  }

  // What was typed stays in this device until the server says that it is on the disk.
  async function send(id, moves = false) {
    const mine = pending[id];
    if (!mine) return;
    box("pending").textContent = `Sending ${id} …`;
    const answer = await act({ do: "reading", line: id, ...mine });
    if (answer === null) { box("pending").textContent = `${Object.keys(pending).length} not sent yet; they are kept here and sent again.`; return; }
    if (pending[id] === mine) delete pending[id];
    store(`pending ${file}`, pending);
    box("pending").textContent = "";
    if (answer.ok) {
      found[id] = answer.kept;
      said = "";
      if (moves && !answer.kept[2] && now()?.id === id) { go(extra ? at : at + 1); return; }
    } else {
      said = `${answer.said} Yours was ${mine.text}${answer.now ? ": type it again to write over it" : ""}.`;
      if (answer.now) found[id] = answer.now;
    }
    show();
  }

  function told() {
    const place = box("causes");
    if (!causes.busy && !causes.wrong) { place.replaceChildren(); return; }
    if (causes.busy) { place.replaceChildren(node("p", "Working out what it may come from …")); return; }
    const rows = [node("h2", "What is wrong"), ...causes.wrong.map((text) => node("p", text))];
    if (causes.stop) { place.replaceChildren(...rows, node("p", causes.stop, "wrong")); return; }
    rows.push(node("h2", causes.explained ? (causes.pairs ? "Two faults at once that explain it" : "What explains every reading") : "No single fault explains it; nearest"));
    const list = node("ol");
    for (const [words, share] of causes.groups) list.append(node("li", causes.explained ? `${words} (${Math.round(share * 100)} %)` : words));
    rows.push(list);
    if (causes.more) rows.push(node("p", `${causes.more} more, less likely.`));
    if (causes.next) {
      const next = causes.next;
      rows.push(node("h2", "Measure next"), node("p", `${next.action} ${next.at}`));
      for (const [value, words] of next.outcomes) rows.push(node("p", `about ${value}: ${words.join("; ")}`));
      rows.push(button("Go there", "", () => {
        const place = cards.findIndex((one) => one.id === next.id);
        if (place >= 0) go(place);
        else { typed = said = ""; extra = { ...next, change: "" }; show(); }
        box("card").scrollIntoView();
      }));
    }
    place.replaceChildren(...rows);
  }

  function resend() { for (const id of Object.keys(pending)) send(id); }
  setInterval(() => { if (Object.keys(pending).length) resend(); }, 4000);

  return {
    resend,
    cards(data) {
      const id = cards[at]?.id;
      const other = file !== data.file;
      ({ cards, first, file } = data);
      if (other) pending = read(`pending ${file}`, {});  // what was typed for another plan waits for that one
      at = Math.max(0, cards.findIndex((one) => one.id === (id || read(`at ${file}`, ""))));
      resend();
      navigator.wakeLock?.request("screen").catch(() => {});
      show();
    },
    readings(data) { found = data; show(); },
    causes(data) { causes = data; told(); },
  };
})();
