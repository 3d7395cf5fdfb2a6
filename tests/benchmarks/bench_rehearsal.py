"""From a save to what the page of `rehearse` shows, measured in the page: `bench_rehearsal.py [PLAN] [SAVES]`.

The plan is served as the command serves it, warm, and opened in headless Chromium. An observer in the page notes the
moment at which the findings, and after them the sheets, are replaced and painted; the clock is that of the computer,
so that the moment just before the file is renamed into its place can be taken from it. On a machine with other work the
server waits for a processor; the kernel counts how long, and the columns "less waiting" are without what the thread
waited that waited longest. What other threads and the browser wait stays in all columns.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from statistics import median
from threading import Event, Thread
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.browser import chromium  # noqa: E402

PORT = 8391
#: Notes when a version of the plan is painted, and when all of its sheets are.
WATCH = """() => {
  const note = (key) => requestAnimationFrame(() => setTimeout(() => {
    window.seen[key] = performance.timeOrigin + performance.now(); }));
  window.seen = {};
  for (const [key, id] of [["findings", "findings"], ["drawing", "tabs"]])
    new MutationObserver(() => note(key)).observe(document.getElementById(id), {childList: true});
}"""
#: A save is over when nothing more is painted for so long [s].
STILL = 0.6


def _edits(text: str) -> dict[str, Callable[[int], str]]:
    """Saves as a person makes them, each another one at every turn."""

    def step(pattern: str, values: str) -> Callable[[int], str]:
        assert re.search(pattern, text), pattern
        several = values.split()
        return lambda n: re.sub(
            pattern, lambda found: f"{found[1]}{several[n % len(several)]}{found[2]}", text, count=1
        )

    return {
        "torque of a motor": step(r"(torque: )[\d.]+( N·m)", "0.71 0.72 0.73 0.74"),
        "rating of a fuse": step(r"(kind: fuse, [^}]*?rating: )[\d.]+( A)", "4 6 8 10"),
        "size of a wire type": step(r"(wire_types:(?:.|\n)*?size: )[\d.]+( mm2)", "1.5 2.5 4"),
        "title of a part": step(r"(parts:(?:.|\n)*?title: )[^,}]+([,}])", "one two three four"),
        "a remark": lambda n: f"# {n}\n{text}",
    }


@contextmanager
def _served(plan: Path) -> Iterator[tuple[str, int]]:
    words = [sys.executable, "-m", "wiring", "rehearse", str(plan), "--port", str(PORT)]
    server = subprocess.Popen(words, env=os.environ | {"PYTHONPATH": str(ROOT)}, stderr=subprocess.DEVNULL)
    try:
        yield f"http://127.0.0.1:{PORT}/", server.pid
    finally:
        server.terminate()
        server.wait(20)


def _seen(page: Any) -> dict[str, float]:
    """When findings and drawing were painted last [ms]; the tabs of the sheets are made anew after the last sheet."""
    end = time.monotonic() + 60.0
    while time.monotonic() < end:
        time.sleep(STILL)
        found: dict[str, float] = page.evaluate("window.seen")
        if len(found) == 2 and 1000.0 * (time.time() - STILL) > max(found.values()):
            return found
    raise SystemExit("nothing came of a save")


class _Server:
    """What the kernel counts of a process: processor time, and time in which a thread was ready and had to wait."""

    def __init__(self, pid: int) -> None:
        self.pid = pid
        self.seen: list[tuple[float, dict[str, float]]] = []
        self.ended = Event()
        self.thread = Thread(target=self._watch, daemon=True)

    def _watch(self) -> None:
        while not self.ended.wait(0.005):
            self.seen.append((1000.0 * time.time(), self._counted(1)))

    def _counted(self, field: int) -> dict[str, float]:
        """By thread [ms]."""
        found = {}
        for task in Path(f"/proc/{self.pid}/task").iterdir():
            with suppress(OSError):
                found[task.name] = int((task / "schedstat").read_text("ascii").split()[field]) / 1e6
        return found

    @property
    def used_ms(self) -> float:
        """Processor time up to now."""
        return sum(self._counted(0).values())

    def waited_between(self, start: float, end: float) -> float:
        """Time between two moments in which the thread that waited longest had to wait [ms]: two may wait at once."""
        first, *_, last = [counted for at, counted in self.seen if start <= at <= end]
        return max(waited - first.get(thread, 0.0) for thread, waited in last.items())


def main(name: str, saves: int) -> None:
    """Print, for every sort of edit, medians from the save to findings and to the drawing, and processor time [ms]."""
    text = (ROOT / "specs" / f"{name}.yaml").read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        plan, beside = Path(folder, "plan.yaml"), Path(folder, "plan.new")
        plan.write_text(text, "utf-8")
        with _served(plan) as (url, pid):
            page, server = _opened(browser, url), _Server(pid)
            server.thread.start()

            def save(words: str) -> tuple[float, ...]:
                beside.write_text(words, "utf-8")
                page.evaluate("window.seen = {}")
                before, start = server.used_ms, 1000.0 * time.time()
                beside.replace(plan)
                seen = _seen(page)
                found = [(at - start, server.waited_between(start, at)) for at in (seen["findings"], seen["drawing"])]
                return *(one for took, waited in found for one in (took, took - waited)), server.used_ms - before

            print(f"{name}, medians of {saves} saves; load {os.getloadavg()[0]:.1f}")
            print("| save | findings ms | less waiting | drawing ms | less waiting | server, processor ms |")
            print("|---|---:|---:|---:|---:|---:|")
            for words, edit in _edits(text).items():
                found = [save(edit(n)) for n in range(saves + 3)][3:]
                columns = (median(column) for column in zip(*found, strict=True))
                print(f"| {words} | {' | '.join(f'{one:.0f}' for one in columns)} |", flush=True)
            server.ended.set()


def _opened(browser: Any, url: str) -> Any:
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    for _ in range(200):
        try:
            page.goto(url)
            break
        except Exception:  # the server is still starting
            time.sleep(0.1)
    page.wait_for_selector("#sheet svg g.hand", timeout=60_000)
    page.evaluate(WATCH)
    time.sleep(2.0)
    return page


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "foam-gantry", int(sys.argv[2]) if len(sys.argv) > 2 else 12)
