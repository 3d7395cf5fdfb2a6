// Tables: a press on a heading sorts, a word above leaves only the rows that hold it.
(() => {
  const compare = new Intl.Collator("en", { numeric: true }).compare;
  for (const table of document.querySelectorAll("table.list")) {
    const body = table.tBodies[0], headings = [...table.tHead.rows[0].cells], first = [...body.rows];
    headings.forEach((heading, n) => {
      const button = heading.querySelector("button");
      button.addEventListener("click", () => {
        const way = { none: "ascending", ascending: "descending", descending: "none" }[heading.ariaSort || "none"];
        for (const other of headings) other.ariaSort = null;
        if (way !== "none") heading.ariaSort = way;
        const turn = way === "descending" ? -1 : 1, text = (row) => row.cells[n].textContent;
        body.append(...(way === "none" ? first : [...body.rows].sort((a, b) => turn * compare(text(a), text(b)))));
      });
    });
  }
  for (const field of document.querySelectorAll("input[data-filters]")) {
    const rows = [...document.getElementById(field.dataset.filters).querySelectorAll("tbody tr, article.finding")];
    const told = field.parentNode.querySelector("output");
    field.addEventListener("input", () => {
      const text = field.value.trim().toLowerCase();
      for (const row of rows) row.classList.toggle("left-out", !row.textContent.toLowerCase().includes(text));
      told.textContent = text ? `${rows.filter((row) => !row.classList.contains("left-out")).length} of ${rows.length}` : "";
    });
  }
})();
