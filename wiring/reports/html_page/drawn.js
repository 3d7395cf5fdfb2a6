"use strict";
// A drawing in a box that scrolls: the wheel, two fingers and keys zoom it, the mouse drags it. Sizes are in mm.
const drawn = (box, start = () => 0) => {
  const LARGEST = 24, READABLE = 3.2;
  let svg = null, width = 0, height = 0, scale = 0, fitted = true, gap = 0, from = null;

  const whole = () => Math.max(Math.min((box.clientWidth - 4) / width, (box.clientHeight - 4) / height), 0.2);
  const begin = () => start(width, box.clientWidth - 20) || whole();
  // The point of the drawing under x, y of the window stays there.
  const zoom = (wanted, x, y) => {
    if (!svg || !box.clientWidth) return;
    const old = svg.getBoundingClientRect(), around = box.getBoundingClientRect();
    const at = [x ?? around.x + around.width / 2, y ?? around.y + around.height / 2];
    scale = Math.min(Math.max(wanted, Math.min(whole(), begin())), LARGEST);
    svg.style.width = `${scale * width}px`;
    const now = svg.getBoundingClientRect();
    box.scrollLeft += now.x + ((at[0] - old.x) / old.width) * now.width - at[0];
    box.scrollTop += now.y + ((at[1] - old.y) / old.height) * now.height - at[1];
  };
  const fit = () => { fitted = true; zoom(begin()); };
  const step = (factor, x, y) => { fitted = false; zoom(scale * factor, x, y); };

  box.classList.add("drawn");
  box.addEventListener("wheel", (event) => {
    if (event.shiftKey) return;
    event.preventDefault();
    step(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)), event.clientX, event.clientY);
  }, { passive: false });
  const apart = ([one, two]) => Math.hypot(one.clientX - two.clientX, one.clientY - two.clientY);
  box.addEventListener("touchstart", (event) => { if (event.touches.length === 2) gap = apart(event.touches); }, { passive: true });
  box.addEventListener("touchmove", (event) => {
    if (event.touches.length !== 2) return;
    event.preventDefault();
    const now = apart(event.touches), [one, two] = event.touches;
    step(now / gap, (one.clientX + two.clientX) / 2, (one.clientY + two.clientY) / 2);
    gap = now;
  }, { passive: false });
  box.addEventListener("pointerdown", (event) => {
    if (event.button || event.pointerType !== "mouse" || event.target.closest(".hand")) return;
    from = [event.clientX, event.clientY, box.scrollLeft, box.scrollTop];
  });
  box.addEventListener("pointermove", (event) => {
    if (!from) return;
    const x = event.clientX - from[0], y = event.clientY - from[1];
    if (Math.hypot(x, y) < 4 && !box.classList.contains("dragged")) return;
    box.classList.add("dragged");
    if (!box.hasPointerCapture(event.pointerId)) box.setPointerCapture(event.pointerId);
    box.scrollTo(from[2] - x, from[3] - y);
  });
  for (const end of ["pointerup", "pointercancel"]) box.addEventListener(end, () => { from = null; });
  box.addEventListener("click", (event) => {  // what ends a drag picks nothing
    if (box.classList.contains("dragged")) event.stopPropagation();
    box.classList.remove("dragged");
  }, true);
  box.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey) return;
    if (event.key === "+") step(1.5);
    else if (event.key === "-") step(1 / 1.5);
    else if (event.key === "0") fit();
  });
  new ResizeObserver(() => { if (fitted) fit(); }).observe(box);

  return {
    step, fit,
    // Takes over a drawing of that many mm: conductors get lines that are easy to hit.
    take(drawing, size) {
      svg = drawing;
      [width, height] = size;
      svg.removeAttribute("height");
      for (const line of svg.querySelectorAll("g.wire polyline:not(.hit)")) {
        if (line.parentNode.querySelector(".hit")) continue;
        const lines = [...line.parentNode.querySelectorAll("polyline")].map((one) => one.cloneNode());
        for (const hit of lines) hit.setAttribute("class", "hit");
        line.parentNode.append(...lines);
      }
      if (fitted) fit();
      else zoom(scale);
    },
    // Brings a piece of the drawing to the middle, large enough to read.
    bring(piece) {
      if (scale < READABLE) { fitted = false; zoom(READABLE); }
      const at = piece.getBoundingClientRect(), around = box.getBoundingClientRect();
      box.scrollLeft += at.x + at.width / 2 - around.x - around.width / 2;
      box.scrollTop += at.y + at.height / 2 - around.y - around.height / 2;
    },
  };
};

// The buttons beside a drawing work on the one that `view` gives: larger or smaller by a factor, 0 shows all.
const zoomButtons = (view) => {
  for (const button of document.querySelectorAll("#zoom button")) button.addEventListener("click", () => {
    const factor = Number(button.dataset.factor);
    if (factor) view().step(factor);
    else view().fit();
  });
};
