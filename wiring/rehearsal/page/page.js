"use strict";
const $ = (id) => document.getElementById(id);
const make = (tag, text = "", more = {}) => Object.assign(document.createElement(tag), { textContent: text }, more);
const say = (text) => { $("notice").textContent = text; $("notice").hidden = !text; };
// New content of a box; who works by keyboard stays at the same button, or at that which came in its place.
function renew(box, ...children) {
  const all = () => [...box.querySelectorAll("button, summary, [tabindex]")];
  const name = (one) => one.dataset.part || one.textContent;
  const before = all().indexOf(document.activeElement), same = document.activeElement && name(document.activeElement);
  box.replaceChildren(...children);
  if (before < 0) return;
  const now = all().filter((one) => !one.disabled);
  (now.find((one) => name(one) === same) || now[Math.min(before, now.length - 1)])?.focus({ preventScroll: true });
}
let machine = null, offers = null, chosen = "", queue = Promise.resolve();

// One act after the other, so that a press comes before its release.
function act(data) {
  queue = queue.then(async () => {
    try {
      const answer = await fetch("/act", {
        method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(data),
      });
      const found = await answer.json();
      if (answer.ok) say("");
      if (answer.ok && found.nodes) showMachine(found);
      else if (found.said) say(found.said);
      return { ...found, ok: answer.ok };
    } catch {
      say("The server did not answer; nothing was done.");
      return null;
    }
  });
  return queue;
}

// What was asked for and is not answered yet: a second click takes it back, though nothing shows of the first.
const asked = new Map();
function wanted(data, known) { const one = asked.get(JSON.stringify(data)); return one ? one.on : known; }
function ask(data, on) {
  const name = JSON.stringify(data), mine = { on };
  asked.set(name, mine);
  act({ ...data, on }).then(() => { if (asked.get(name) === mine) asked.delete(name); });
}

// Operators: what springs back is worked as long as it is pressed, unless it is held; all else changes at a click.
const VERBS = { "push-button": "press", "emergency-stop": "press", selector: "turn", "key-switch": "turn",
  "limit-switch": "reach", "foot-switch": "step on", "guard-switch": "open", disconnector: "switch off",
  "float-switch": "lift", "pressure-switch": "press" };
const MOVED = { "guard-switch": ["closed", "open"], disconnector: ["on", "off"], selector: ["at rest", "turned"],
  "key-switch": ["at rest", "turned"], "emergency-stop": ["released", "pressed in"] };

class Hand {
  constructor(one) { Object.assign(this, one); this.key = `${one.part} ${one.actuator}`; this.down = false; }
  get on() { return this.actuator ? machine.worked.includes(this.key) : machine.pulled.includes(this.part) || machine.blown.includes(this.part); }
  get words() {
    if (!this.actuator) return machine.blown.includes(this.part) ? "open, tripped or blown" : this.on ? "out" : "in";
    return (MOVED[this.kind] || ["let go", "worked"])[this.on ? 1 : 0];
  }
  name(element) {
    const does = this.actuator ? VERBS[this.kind] || "work" : "take out";
    element.setAttribute("aria-label", `${this.part} ${this.title || this.kind}, ${this.words}; ${does}`);
    element.setAttribute("aria-pressed", String(this.on));
  }
  get act() { return this.actuator ? { do: "work", part: this.part, actuator: this.actuator } : { do: "pull", part: this.part }; }
  press() {
    this.down = this.springs && !$("hold").checked;
    ask(this.act, this.down || !wanted(this.act, this.on));
  }
  release() { if (this.down) { this.down = false; ask(this.act, false); } }
  wire(element) {
    element.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      element.setPointerCapture(event.pointerId);
      this.press();
    });
    for (const end of ["pointerup", "pointercancel"]) element.addEventListener(end, () => this.release());
    element.addEventListener("keydown", (event) => {
      if ((event.key !== " " && event.key !== "Enter") || event.repeat) return;
      event.preventDefault();
      this.press();
    });
    element.addEventListener("keyup", (event) => { if (event.key === " " || event.key === "Enter") this.release(); });
    element.addEventListener("blur", () => this.release());
  }
}

let hands = [];
function showOffers(data) {
  offers = data;
  const order = (one) => (data.stops.includes(one.part) ? 0 : data.resets.includes(one.part) ? 1 : 2);
  const devices = data.devices.map((one) => ({ ...one, actuator: "", springs: false }));
  hands = [...data.operators, ...devices].map((one) => new Hand(one)).sort((a, b) => order(a) - order(b));
  renew($("operators"), ...hands.filter((one) => one.actuator).map((hand) => {
    const button = make("button");
    hand.button = button;
    button.dataset.part = hand.part;
    if (data.stops.includes(hand.part)) button.className = "stop";
    hand.wire(button);
    return button;
  }));
  $("state").replaceChildren(...data.states.map((name) => make("option", name)));
  $("programs").hidden = !data.programs;
  $("names").replaceChildren(...[...Object.keys(data.titles), ...Object.keys(data.wires)].map((name) => make("option", "", { value: name })));
  $("parts").replaceChildren(...Object.keys(data.titles).map((name) => make("option", "", { value: name })));
  $("stories").replaceChildren(...data.stories.map((row, n) => make("option", `${row[3] || "sound"}: ${row[0]} by ${row[1]}, ${row[4]}`, { value: n })));
  $("play").disabled = !data.stories.length;
  Circuit.offers(data, new Map(hands.map((one) => [one.part, one])));
  if (machine) showMachine(machine);
}

function showMachine(data) {
  machine = data;
  if (!offers) return;
  const press = (id, on) => $(id).setAttribute("aria-pressed", String(on));
  press("mains", data.mains);
  $("mains").textContent = data.lost ? "Mains: tripped ahead of the machine" : `Mains ${data.mains ? "on" : "off"}`;
  press("programs", data.programs);
  $("state").value = data.state;
  $("undo").disabled = !data.undo;
  for (const hand of hands) {
    if (!hand.button) continue;
    hand.button.replaceChildren(make("b", hand.part), " ", make("span", hand.title || hand.kind), " ", make("i", hand.words));
    hand.button.setAttribute("aria-pressed", String(hand.on));
  }
  const on = new Set(data.on), works = new Set(data.works);
  const rows = [
    ...offers.lamps.map((name) => [name, works.has(name) ? "lit" : "dark", works.has(name)]),
    ...offers.hazards.map((name) => [name, data.alive[name] ? "FED" : "not fed", data.alive[name]]),
    ...offers.coils.map((name) => [name, on.has(name) ? "picked up" : "at rest", on.has(name)]),
  ];
  $("works").replaceChildren(...rows.map(([name, words, is]) => make("li", `${name} ${words}`, { className: is ? "is" : "" })));
  const due = Object.entries(data.next).map(([name, seconds]) => `${name} in ${seconds} s`);
  $("clock").textContent = `${data.clock} s${due.length ? `; ${due.join(", ")}` : ""}`;
  $("next").hidden = !due.length;
  const bus = Object.entries(data.charge).map(([name, [held, left]]) => `${name} bus ${held} V${left === null ? "" : left > 0 ? `, below touch in ${left} s` : ""}`);
  const unknown = offers.uncharged.length ? `charge of ${offers.uncharged.join(", ")} not known` : "";
  $("charge").textContent = [...bus, unknown].filter(Boolean).join("; ");
  $("log").replaceChildren(...data.log.map((line) => make("li", line)));
  showFaultsIn(data);
  showStory(data.story);
  if (data.unrest) say(`Never comes to rest: ${data.unrest}`);
  else if (data.doubt) say(`Not judged here: ${data.doubt}`);
  Circuit.machine(data);
  runClock();
}

function showFaultsIn(data) {
  renew($("in"), ...data.faults.map(([id, words]) => {
    const button = make("button", `Mend: ${words}`, { className: "fault" });
    button.addEventListener("click", () => act({ do: "fault", id, on: false }));
    return button;
  }));
  const box = $("chosen");
  if (!chosen || !offers) { box.replaceChildren(); return; }
  const is = new Set(data.faults.map((row) => row[0]));
  const mine = offers.fault_list.filter((row) => !is.has(row[0]) && (row[2].includes(chosen) || row[2][0]?.split(".")[0] === chosen));
  const about = offers.titles[chosen] || offers.wires[chosen] || [];
  const blown = data.blown.includes(chosen);
  renew(box, make("h3", `${chosen} ${about.filter(Boolean).join(", ")}`), ...mine.slice(0, 40).map((row) => {
    const button = make("button", row[1]);
    button.addEventListener("click", () => act({ do: "fault", id: row[0], on: true }));
    return button;
  }));
  if (blown) {
    const button = make("button", `${chosen}: put in a new one, or reset`);
    button.addEventListener("click", () => act({ do: "pull", part: chosen, on: false }));
    box.append(button);
  }
  if (!mine.length) box.append(make("p", "The proof knows no fault of it that is not in."));
}

function showStory(story) {
  $("step").disabled = !story || !story.next;
  $("step").textContent = story && story.next ? `Next: ${story.next}` : "Next step";
  $("told").replaceChildren(...(story ? story.told : []).map((line) => make("li", line)));
  $("ending").textContent = !story ? "" : story.verdict
    ? `The proof says: ${story.verdict}${story.moment ? `, ${story.alive.join(", ")} fed at "${story.moment}"` : ""}.` : "The machine without a fault.";
}

function pick(name) {
  if (!offers || !(name in offers.titles || name in offers.wires)) return;
  chosen = name;
  Circuit.choose(name, false);
  showFaultsIn(machine);
}

// The plan.
function showFaults(data) {
  $("faults").replaceChildren(...data.faults.map((one) => {
    const box = make("article", "", { className: "broken" });
    box.append(make("b", one.place), make("p", one.summary));
    if (one.entry.length) box.append(make("pre", one.entry.join("\n")));
    for (const [label, text] of [["Expected", one.expected], ["Nearest", one.near.join(", ")], ["Mend", one.mend]])
      if (text) box.append(make("p", `${label}: ${text}`));
    return box;
  }));
  $("faults").hidden = !data.faults.length;
  const shown = machine ? "What stands below is its last version that could." : "Mend it and save: the page follows.";
  if (data.faults.length) $("faults").prepend(make("p", `The file cannot be read. ${shown}`));
}

function showPlan(data) {
  document.title = `${data.machine}: rehearsal`;
  $("machine").textContent = data.machine;
  $("verdict").textContent = data.words;
  $("verdict").className = data.verdict;
  const standing = data.findings.filter((one) => !one.accepted);
  $("count").textContent = `${standing.length}`;
  const list = standing.map((one) => {
    const box = make("details", "", { className: "finding" });
    const head = make("summary");
    head.append(make("span", one.signal, { className: `signal ${one.signal.toLowerCase()}` }), " ", one.summary);
    if (one.new) head.append(" ", make("span", "new", { className: "new" }));
    box.append(head, make("p", one.place, { className: "place" }));
    if (one.entry) box.append(make("pre", one.entry));
    for (const [name, value, words] of one.numbers) box.append(make("p", `${name}: ${value} ${words}`));
    if (one.harm) box.append(make("p", `Harm: ${one.harm}`));
    for (const words of one.mend) box.append(make("p", `Mend: ${words}`));
    if (one.tries) {
      const button = make("button", "Try its first mend");
      button.addEventListener("click", () => WhatIf.mend(one.rule, one.names[0]));
      box.append(button);
    }
    for (const words of one.effects) box.append(make("p", `Effect: ${words}`));
    box.addEventListener("toggle", () => {
      const known = box.open && offers && one.names.find((name) => name in offers.titles || name in offers.wires);
      if (known) { Circuit.choose(known); pick(known); }
    });
    return box;
  });
  for (const words of data.gone) list.push(make("p", `Gone: ${words}`, { className: "gone" }));
  if (!standing.length) list.unshift(make("p", "No finding stands."));
  list.push(make("p", `${data.not_judged} checks not judged; \`wiring check --all\` lists them.`));
  for (const name of data.crashed) list.unshift(make("p", `${name} failed itself and judged nothing.`, { className: "broken" }));
  renew($("findings"), ...list);
  const short = (value) => (value === null ? "?" : Number(value.toPrecision(3)));
  const hardest = new Map();
  for (const row of data.supplies)
    if (!hardest.has(row.name) || row.headroom < hardest.get(row.name).headroom) hardest.set(row.name, row);
  $("supplies").replaceChildren(...[...hardest.values()].map((row) => {
    const box = make("p", "", { className: "supply" }), share = row.available_a ? row.current_a / row.available_a : 0;
    const bar = make("meter", "", { min: 0, max: 1, high: 0.8, optimum: 0, value: Math.min(share, 1) });
    const left = row.headroom === null ? "" : `, ${Math.round(row.headroom * 100)} % left`;
    const words = `${row.name}: ${short(row.current_a)} of ${short(row.available_a)} A in ${row.state}${left}`;
    bar.setAttribute("aria-label", words);
    box.append(words, bar);
    return box;
  }), make("p", data.enclosure || ""));
  $("cautions").replaceChildren(...data.cautions.map((text) => make("p", text)));
}

// The clock runs by itself only while something waits for it.
let timer = 0;
function runClock() {
  const on = $("run").getAttribute("aria-pressed") === "true";
  const waits = machine && (Object.keys(machine.next).length || Object.values(machine.charge).some((one) => one[1] > 0));
  if (on && waits && !timer) timer = setTimeout(() => { timer = 0; act({ do: "clock", seconds: 0.5 }); }, 500);
}

function view(name) {
  if (!document.querySelector(`[data-shows="${CSS.escape(name)}"]`)) name = "machine";
  for (const part of document.querySelectorAll("[data-shows]")) part.hidden = part.dataset.shows !== name;
  for (const button of document.querySelectorAll("[data-view]")) button.setAttribute("aria-pressed", String(button.dataset.view === name));
  for (const id of ["bar", "clockbar", "verdict"]) $(id).hidden = name === "power-up" || (name === "what-if" && id !== "verdict");
  history.replaceState(null, "", `#/${name}`);  // no id of the page, else it scrolls there
  if (name === "power-up" && machine) act({ do: "sheet" });
}

function start() {
  for (const [name, known] of [["mains", () => machine?.mains && !machine.lost], ["programs", () => machine?.programs]])
    $(name).addEventListener("click", () => ask({ do: name }, !wanted({ do: name }, known())));
  $("state").addEventListener("change", () => act({ do: "state", name: $("state").value }));
  $("undo").addEventListener("click", () => act({ do: "undo" }));
  $("begin").addEventListener("click", () => act({ do: "begin" }));
  $("next").addEventListener("click", () => act({ do: "clock" }));
  for (const button of document.querySelectorAll("[data-seconds]"))
    button.addEventListener("click", () => act({ do: "clock", seconds: Number(button.dataset.seconds) }));
  $("run").addEventListener("click", () => {
    $("run").setAttribute("aria-pressed", String($("run").getAttribute("aria-pressed") !== "true"));
    runClock();
  });
  $("find").addEventListener("change", () => { pick($("find").value.trim()); Circuit.choose(chosen); });
  $("play").addEventListener("click", () => {
    const [stop, device, fault] = offers.stories[Number($("stories").value)];
    act({ do: "story", stop, device, fault });
  });
  $("step").addEventListener("click", () => act({ do: "step" }));
  Circuit.listen(pick);
  WhatIf.start();
  for (const button of document.querySelectorAll("[data-view]"))
    button.addEventListener("click", () => view(button.dataset.view));
  view(location.hash.slice(2) || "machine");
  const source = new EventSource("/events");
  const on = (topic, show) => source.addEventListener(topic, (event) => show(JSON.parse(event.data)));
  const sheet = (data) => Circuit.take(data);
  on("faults", showFaults);
  on("plan", showPlan);
  on("offers", showOffers);
  on("machine", showMachine);
  on("drawing", (data) => { Circuit.drawing(data); if (data.why) say(data.why); });
  for (let n = 1; n <= 200; n += 1) on(`sheet-${n}`, sheet);
  on("cards", Cabinet.cards);
  on("readings", Cabinet.readings);
  on("causes", Cabinet.causes);
  on("trial", WhatIf.show);
  on("said", say);
  on("left", WhatIf.left);
  on("plan", () => { if (location.hash === "#/power-up") act({ do: "sheet" }); });
  source.addEventListener("open", () => { $("lost").hidden = true; Cabinet.resend(); });
  source.addEventListener("error", () => { $("lost").hidden = false; });
}
start();
