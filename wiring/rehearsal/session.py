"""One plan file followed: read, judged, drawn and worked again after every save; what is shown goes to the hub."""

from __future__ import annotations

import asyncio
import gc
import traceback
from collections.abc import Awaitable, Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from wiring.documents.drawn import svg_safe
from wiring.drawing.engine import EngineMissingError
from wiring.drawing.screen import KeptBlocks, cabinet_on_screen, screen_sheets
from wiring.drawing.shapes import Sheet
from wiring.drawing.svg import svg_of
from wiring.findings import Report
from wiring.outputs import clear_left
from wiring.rehearsal.acts import UNREAD, RefusedError, Works
from wiring.rehearsal.hub import Hub
from wiring.rehearsal.kept_proof import Kept
from wiring.rehearsal.power_up import PowerUp
from wiring.rehearsal.trials import Trials
from wiring.rehearsal.version import Read, Stamp, read_plan, stamp_of, told
from wiring.rehearsal.what_if import WhatIf

#: A file that reads with faults is looked at once more after this time: an editor may be in the middle of writing [s].
_ONCE_MORE_S = 0.06
#: Findings get so long to be on their way before another thread works on the machine and the drawing [s].
_AHEAD_S = 0.002
#: Saves after which what old versions have left in cycles is freed: a command never comes to it, a server must.
_COLLECT_EVERY = 25
#: Changes of a folder are gathered for so long [ms]; a file that is written on while it is read is read again anyway.
_STEP_MS = 10

Acts = dict[str, Callable[[Mapping[str, Any]], Awaitable[dict[str, Any]]]]
_REPORT = "Save the plan otherwise, and report this version of it."


def failed_words(error: BaseException) -> str:
    """That the tool itself has failed, and where."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    return (
        f"wiring itself has failed: {type(error).__name__} in {where.name}, {Path(where.filename).name}:{where.lineno}"
    )


class Session:
    """What one server knows of its plan."""

    def __init__(self, path: Path, hub: Hub) -> None:
        self.path, self.hub = path, hub
        self.read: Read | None = None
        self.before: Report | None = None
        self.works: Works | None = None
        self.version = 0
        self.stamp: Stamp = ()
        self.kept = KeptBlocks()
        self.proofs: Kept = {}
        self.sheets = 0
        self.lock = asyncio.Lock()
        self.tasks: set[asyncio.Task[None]] = set()
        self.power_up, self.what_if = PowerUp(path, hub, self.start), WhatIf(hub, self.start)
        self.acts: Acts = {**self.power_up.acts, **self.what_if.acts}

    # Following the file.

    async def follow(self) -> None:
        """Read the plan, and again whenever it or a file that it names is written, for ever."""
        clear_left(self.path)
        await self._refreshed()
        while True:
            try:
                await self._next_save()
            except (OSError, RuntimeError):  # the folder is away: it may come back
                await asyncio.sleep(1.0)
            await self._refreshed()

    async def _next_save(self) -> None:
        """Wait until one of the files is another one; a save while nobody watched is seen within a second."""
        from watchfiles import awatch

        files = self.read.files if self.read else (self.path,)
        folders = sorted({str(file.absolute().parent) for file in files if file.absolute().parent.is_dir()})
        options: dict[str, Any] = {"step": _STEP_MS, "debounce": 200, "rust_timeout": 1000, "yield_on_timeout": True}
        async for _ in awatch(*folders, recursive=False, **options):
            if stamp_of(files) != self.stamp:
                return

    async def _refreshed(self) -> None:
        """Read what stands there now; where the tool itself fails it says so, and follows on."""
        try:
            await self.refresh()
        except Exception as error:
            words = failed_words(error)
            fault = {
                "place": str(self.path),
                "entry": [],
                "summary": words,
                "expected": "",
                "near": [],
                "mend": _REPORT,
            }
            self.stamp = stamp_of(self.read.files if self.read else (self.path,))
            self.hub.put("faults", {"version": self.version, "faults": [fault]})

    async def refresh(self) -> None:
        """Read what stands there now: findings first, then the machine, then the drawing."""
        inputs = self.read.files if self.read else (self.path,)
        while True:
            stamp = stamp_of(inputs)
            read = await asyncio.to_thread(read_plan, self.path, inputs, self.proofs)
            if read.outcome is None and self.read is not None:
                await asyncio.sleep(_ONCE_MORE_S)
            if stamp_of(inputs) == stamp:
                break
        self.read, self.stamp = read, stamp_of(read.files)
        self.version += 1
        self.hub.put("faults", {"version": self.version, "faults": list(read.faults)})
        if read.outcome is None or read.report is None:
            return
        self.power_up.read = read
        self.hub.put("plan", {"version": self.version} | told(read, self.before))
        await asyncio.sleep(_AHEAD_S)
        self.before = read.report
        self.what_if.renew(Trials(self.path, read.outcome, self.stamp, self.proofs))
        await self._renew_machine(read)
        await self._draw(read)
        self.power_up.renew()
        if self.version % _COLLECT_EVERY == 0:
            gc.collect()

    async def _renew_machine(self, read: Read) -> None:
        assert read.outcome is not None
        design = read.outcome.design
        async with self.lock:
            self.works = works = await asyncio.to_thread(Works, design, self.works)
            self.hub.put("offers", works.offers())
            self.hub.put("machine", works.seen())

    async def _draw(self, read: Read) -> None:
        """The circuits, and then the cabinet: where it is laid out anew, its old sheets are marked meanwhile."""
        assert read.outcome is not None
        design = read.outcome.design
        try:
            circuits = await asyncio.to_thread(self._told, lambda: screen_sheets(design, self.kept))
        except EngineMissingError as problem:
            self._put_sheets([], 0, why=str(problem))
            return
        first = len(circuits) + 1
        if self.kept.layouts.is_another(design.circuit):
            self._put_sheets(circuits, max(self.sheets, len(circuits)), waits=first)
        cabinet = await asyncio.to_thread(self._told, lambda: cabinet_on_screen(design, first, self.kept))
        self._put_sheets([*circuits, *cabinet], len(circuits) + len(cabinet))

    def _put_sheets(self, sheets: Sequence[dict[str, Any]], count: int, waits: int = 0, why: str = "") -> None:
        """Show sheets; `count` stay, and those from `waits` on are old ones."""
        for sheet in sheets:
            self.hub.put(f"sheet-{sheet['number']}", sheet)
        self.hub.drop(*(f"sheet-{number}" for number in range(count + 1, self.sheets + 1)))
        self.sheets = count
        self.hub.put("drawing", {"version": self.version, "count": count, "waits": waits, "why": why})

    def _told(self, drawn: Callable[[], Iterable[Sheet]]) -> list[dict[str, Any]]:
        found = []
        for sheet in drawn():
            svg = svg_of(sheet, live=True)
            svg = svg_safe(svg[svg.index("<svg") :])
            mark = sha256(svg.encode()).hexdigest()[:16]
            size = [round(sheet.width, 2), round(sheet.height, 2)]
            found.append({"number": sheet.number, "title": sheet.title, "size": size, "mark": mark, "svg": svg})
        return found

    # What a page asks for.

    async def act(self, act: Mapping[str, Any]) -> dict[str, Any]:
        """One act; every page sees what comes of it. Raises RefusedError."""
        return await self.acts.get(str(act.get("do")), self._work)(act)

    async def _work(self, act: Mapping[str, Any]) -> dict[str, Any]:
        async with self.lock:
            if self.works is None:
                raise RefusedError(UNREAD)
            seen = await asyncio.to_thread(self.works.do, act)
        self.hub.put("machine", seen)
        return seen

    # What runs beside.

    def start(self, work: Any) -> None:
        """Let something run beside; it is ended with the server."""
        task = asyncio.ensure_future(work)
        self.tasks.add(task)
        task.add_done_callback(self._ended)

    def _ended(self, task: asyncio.Task[None]) -> None:
        """What runs beside has ended; why, where it was not done."""
        self.tasks.discard(task)
        problem = None if task.cancelled() else task.exception()
        if problem is not None:
            self.hub.put("said", str(problem) if isinstance(problem, RefusedError) else failed_words(problem))

    async def end(self) -> None:
        """Stop what runs beside."""
        for task in list(self.tasks):
            task.cancel()
            with suppress(asyncio.CancelledError):
                await task
