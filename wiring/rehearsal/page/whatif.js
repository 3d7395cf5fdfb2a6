"use strict";
// What if: values as fields and sliders, tried as they are moved; the plan on disk changes by "Take over" alone.
const WhatIf = (() => {
  const box = (id) => document.getElementById(id);
  const node = (tag, text = "", name = "") => Object.assign(document.createElement(tag), { textContent: text, className: name });
  const NUMBER = /^([+-]?\d+(?:\.\d+)?)(\s*\D.*)?$/;
  let part = "", wanted = {}, timer = 0, trial = {};

  async function open(name) {
    const answer = await act({ do: "values", part: name });
    if (!answer || !answer.ok) { box("try-said").textContent = answer?.said || ""; return; }
    part = name;
    wanted = {};
    box("try-said").textContent = answer.values.length ? "" : "The plan writes no value of it.";
    box("fields").replaceChildren(node("h3", `${name} ${answer.title}`), ...answer.values.map(([path, text]) => field(path, text)));
    box("try-axis").hidden = !answer.moves;
    box("try-axis").textContent = `Add an axis like ${name}`;
    box("try-least").textContent = `Least size of ${name}`;
    box("try-least").hidden = false;
  }

  function field(path, text) {
    const row = node("label", "", "field"), input = node("input"), parts = NUMBER.exec(text);
    row.append(node("span", path), input);
    input.value = text;
    input.addEventListener("input", () => change(path, input.value, text));
    if (parts) {
      const value = Number(parts[1]), slider = node("input");
      const top = value ? value * 3 : 10, digits = Math.max(2, (parts[1].split(".")[1] || "").length + 1);
      Object.assign(slider, { type: "range", min: 0, max: Math.abs(top), step: Math.abs(top) / 300, value: Math.abs(value) });
      slider.setAttribute("aria-label", `${path}, slider`);
      slider.addEventListener("input", () => {
        input.value = `${Number((Math.sign(value) || 1) * slider.value).toFixed(digits).replace(/\.?0+$/, "")}${parts[2] || ""}`;
        change(path, input.value, text);
      });
      row.append(slider);
    }
    return row;
  }

  function change(path, now, before) {
    if (now.trim() === before || !now.trim()) delete wanted[path];
    else wanted[path] = now;
    clearTimeout(timer);
    timer = setTimeout(() => {
      if (Object.keys(wanted).length) ask({ kind: "value", part, values: wanted });
    }, 120);
  }

  async function ask(data) {
    const answer = await act({ do: "try", ...data });
    if (answer && !answer.ok) box("try-said").textContent = answer.said;
  }

  function show(data) {
    trial = data;
    const place = box("trial"), rows = [];
    box("take").disabled = !data.can;
    box("take-back").disabled = !data.taken;
    if (data.busy) rows.push(node("p", "Being worked out …", "busy"));
    if (data.said) rows.push(node("p", data.said, "wrong"));
    if (data.lines) {
      rows.push(node("h3", "Tried"), ...data.lines.map((line) => node("p", line)));
      for (const line of data.remarks) rows.push(node("p", line));
      const told = (list, word, name) => list.map(([signal, text]) => {
        const line = node("p", "", name);
        line.append(node("span", signal, `signal ${signal.toLowerCase()}`), ` ${word} ${text}`);
        return line;
      });
      rows.push(...told(data.new, "new:", "appears"), ...told(data.gone, "gone:", "gone"));
      if (!data.new.length && !data.gone.length) rows.push(node("p", "No finding at or above CAUTION comes or goes."));
      if (data.unknown) rows.push(node("p", `${data.unknown} checks more could not be judged.`));
      if (data.figures.length) rows.push(table(["", "", "before -> after", "limit"], data.figures));
    }
    place.replaceChildren(...rows);
  }

  function table(heads, lines) {
    const made = node("table"), head = made.createTHead().insertRow(), body = made.createTBody();
    for (const text of heads) head.append(node(text ? "th" : "td", text));
    for (const [section, subject, change, limit, over] of lines) {
      const row = body.insertRow();
      for (const text of [section, subject, change, limit + (over ? " exceeded" : "")]) row.append(node("td", text, over ? "over" : ""));
    }
    return made;
  }

  function left(data) {
    const place = box("left");
    if (data.busy) { place.replaceChildren(node("p", "What is left is being worked out …", "busy")); return; }
    if (!data.supplies) { place.replaceChildren(); return; }
    const watts = (row) => `${row.name}: ${row.left_w === null ? "no limit met" : `${Number(row.left_w.toPrecision(3))} W more`}${row.limit ? `; then ${row.limit}` : ""}`;
    place.replaceChildren(node("h3", data.of), ...[...data.supplies, ...data.feeds].map((row) => node("p", watts(row))),
      ...data.axes.map((row) => node("p", `axes like ${row.motor}: ${row.more} more${row.limit ? `; then ${row.limit}` : ""}`)),
      ...(data.untried ? [node("p", data.untried)] : []));
  }

  function start() {
    box("try-part").addEventListener("change", () => open(box("try-part").value.trim()));
    box("try-axis").addEventListener("click", () => ask({ kind: "axis", part }));
    box("try-least").addEventListener("click", () => ask({ kind: "least", part }));
    box("try-all").addEventListener("click", () => ask({ kind: "least", part: "" }));
    box("try-left").addEventListener("click", () => ask({ kind: "left" }));
    for (const [id, what] of [["take", "take"], ["take-back", "take back"]]) box(id).addEventListener("click", async () => {
      const answer = await act({ do: what, serial: trial.serial });
      box("try-said").textContent = answer?.said || "";
      if (answer?.ok) { wanted = {}; if (part) setTimeout(() => open(part), 600); }
    });
  }

  return { start, show, left, open, mend: (rule, name) => { view("what-if"); ask({ kind: "mend", rule, part: name }); } };
})();
