"""From a save to what the page of `rehearse` shows, measured in the page: `bench_rehearsal.py [PLAN] [SAVES]`.

The plan is served as the command serves it, warm, and opened in headless Chromium. An observer in the page notes the
moment at which the findings, and after them the sheets, are replaced and painted; the clock is that of the computer,
so that the moment just before the file is renamed into its place can be taken from it. A machine with other work lets
the server wait for a processor, so that its processor time up to each of the two moments is printed too: on a machine
with nothing else to do it takes that, some 30 ms in which changes of a folder are gathered, and the page's own time.
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
from threading import Thread
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
    """The processor time of a process from moment to moment, as the kernel counts it."""

    def __init__(self, pid: int) -> None:
        self.pid = pid
        self.seen: list[tuple[float, float]] = []
        Thread(target=self._watch, daemon=True).start()

    def _watch(self) -> None:
        with suppress(OSError):  # it has ended
            while True:
                tasks = Path(f"/proc/{self.pid}/task").glob("*/schedstat")
                self.seen.append(
                    (1000.0 * time.time(), sum(int(one.read_text("ascii").split()[0]) for one in tasks) / 1e6)
                )
                time.sleep(0.005)

    def used_between(self, start: float, end: float) -> float:
        """Processor time between two moments [ms]."""
        first, *_, last = [used for at, used in self.seen if start <= at <= end]
        return last - first


def main(name: str, saves: int) -> None:
    """Print, for every sort of edit, medians from the save to findings and to the drawing, and processor time [ms]."""
    text = (ROOT / "specs" / f"{name}.yaml").read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        plan, beside = Path(folder, "plan.yaml"), Path(folder, "plan.new")
        plan.write_text(text, "utf-8")
        with _served(plan) as (url, pid):
            page, server = _opened(browser, url), _Server(pid)
            metrics = page.context.new_cdp_session(page)
            metrics.send("Performance.enable", {"timeDomain": "threadTicks"})

            def page_ms() -> float:
                found = metrics.send("Performance.getMetrics")["metrics"]
                return 1000.0 * float(next(one["value"] for one in found if one["name"] == "TaskDuration"))

            def save(words: str) -> tuple[float, ...]:
                beside.write_text(words, "utf-8")
                page.evaluate("window.seen = {}")
                before, start = page_ms(), 1000.0 * time.time()
                beside.replace(plan)
                seen = _seen(page)
                ends = seen["findings"], seen["drawing"]
                found = [(end - start, server.used_between(start, end)) for end in ends]
                return *(one for two in found for one in two), page_ms() - before

            print(f"{name}, medians of {saves} saves [ms]; load {os.getloadavg()[0]:.1f}")
            print(
                "| save | findings | server by then | drawing | server by then | page |\n|---|---:|---:|---:|---:|---:|"
            )
            for words, edit in _edits(text).items():
                found = [save(edit(n)) for n in range(saves + 3)][3:]
                columns = (median(column) for column in zip(*found, strict=True))
                print(f"| {words} | {' | '.join(f'{one:.0f}' for one in columns)} |", flush=True)


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
