"use strict";
(() => {
  // What is typed stays on this device until it is saved; the file is a CSV that `wiring readings PLAN FILE` reads.
  const fields = [...document.querySelectorAll("[data-line]")];
  const machine = document.querySelector("[data-machine]").dataset.machine;
  const store = "power-up of " + machine;
  const value = (field) => (field.type === "checkbox" ? (field.checked ? "ok" : "") : field.value.trim());
  const count = () => {
    const filled = fields.filter((field) => value(field) !== "").length;
    document.getElementById("count").textContent = filled + " of " + fields.length + " filled in";
  };
  const keep = () => {
    try {
      localStorage.setItem(store, JSON.stringify(fields.map((field) => [field.dataset.line, value(field)])));
    } catch (problem) {
      document.getElementById("count").textContent = "This browser keeps nothing: save often. ";
      return;
    }
    count();
  };
  try {
    const kept = new Map(JSON.parse(localStorage.getItem(store) || "[]"));
    for (const field of fields) {
      const text = kept.get(field.dataset.line) || "";
      if (field.type === "checkbox") field.checked = text === "ok";
      else field.value = text;
    }
  } catch (problem) { /* nothing was kept */ }
  for (const field of fields) field.addEventListener("input", keep);
  const cell = (text) => '"' + (/^[=+@]/.test(text) ? "'" : "") + text.replaceAll('"', '""') + '"';
  document.getElementById("save").addEventListener("click", () => {
    const readings = fields.filter((field) => field.type !== "checkbox" && !field.closest(".gate") && value(field) !== "");
    const rows = ["line,reading", ...readings.map((field) => cell(field.dataset.line) + "," + cell(value(field)))];
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([rows.join("\n") + "\n"], { type: "text/csv" }));
    link.download = "readings.csv";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  });
  count();
})();
