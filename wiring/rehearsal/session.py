"""One plan file followed: read, judged, drawn and worked again after every save; what is shown goes to the hub."""

from __future__ import annotations

import asyncio
import traceback
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from wiring.documents.drawn import svg_safe
from wiring.drawing.engine import EngineMissingError
from wiring.drawing.screen import KeptBlocks, cabinet_on_screen, screen_sheets
from wiring.drawing.svg import svg_of
from wiring.findings import Report
from wiring.outputs import clear_left
from wiring.rehearsal.acts import RefusedError, Works
from wiring.rehearsal.cabinet import Cabinet
from wiring.rehearsal.hub import Hub
from wiring.rehearsal.kept_proof import Kept
from wiring.rehearsal.trials import Taken, Trial, Trials, take_back
from wiring.rehearsal.version import Read, Stamp, read_plan, stamp_of, told

#: A file that reads with faults is looked at once more after this time: an editor may be in the middle of writing [s].
_ONCE_MORE_S = 0.06
#: Changes of a folder are gathered for so long [ms].
_STEP_MS = 20

_REPORT = "Save the plan otherwise, and report this version of it."
#: Takings over that can be undone.
_MOST_TAKEN = 20


def failed_words(error: BaseException) -> str:
    """That the tool itself has failed, and where."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    return (
        f"wiring itself has failed: {type(error).__name__} in {where.name}, {Path(where.filename).name}:{where.lineno}"
    )


def _need_local(act: Mapping[str, Any]) -> None:
    if act.get("local") is not True:
        raise RefusedError("Only the computer that serves the page changes the plan.")


class Session:
    """What one server knows of its plan."""

    def __init__(self, path: Path, hub: Hub) -> None:
        self.path, self.hub = path, hub
        self.read: Read | None = None
        self.good: Read | None = None
        self.before: Report | None = None
        self.works: Works | None = None
        self.cabinet: Cabinet | None = None
        self.at_cabinet, self.writing = asyncio.Lock(), asyncio.Lock()
        self.asked_causes = 0
        self.trials: Trials | None = None
        self.trial = Trial(None, {})
        self.asked_trials = 0
        self.taken: list[Taken] = []
        self.trying = asyncio.Lock()
        self.version = 0
        self.stamp: Stamp = ()
        self.kept = KeptBlocks()
        self.proofs: Kept = {}
        self.sheets = 0
        self.lock = asyncio.Lock()
        self.tasks: set[asyncio.Task[None]] = set()

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
        self.good = read
        self.hub.put("plan", {"version": self.version} | told(read, self.before))
        self.before = read.report
        self.trials = Trials(self.path, read.outcome, self.stamp, self.proofs)
        self._show_trial({})
        await self._renew_machine(read)
        await self._draw(read)
        if self.cabinet is not None:
            self.start(self._open_cabinet())

    async def _renew_machine(self, read: Read) -> None:
        assert read.outcome is not None
        design = read.outcome.design
        async with self.lock:
            self.works = works = await asyncio.to_thread(Works, design, self.works)
            self.hub.put("offers", works.offers())
            self.hub.put("machine", works.seen())

    async def _draw(self, read: Read) -> None:
        assert read.outcome is not None
        try:
            sheets = await asyncio.to_thread(self._sheets, read)
        except EngineMissingError as problem:
            self.hub.put("drawing", {"version": self.version, "count": 0, "why": str(problem)})
            return
        for number, sheet in enumerate(sheets, 1):
            self.hub.put(f"sheet-{number}", sheet)
        self.hub.drop(*(f"sheet-{number}" for number in range(len(sheets) + 1, self.sheets + 1)))
        self.sheets = len(sheets)
        self.hub.put("drawing", {"version": self.version, "count": len(sheets), "why": ""})

    def _sheets(self, read: Read) -> list[dict[str, Any]]:
        assert read.outcome is not None
        found = []
        circuits = screen_sheets(read.outcome.design, self.kept)
        for sheet in (*circuits, *cabinet_on_screen(read.outcome.design, len(circuits) + 1)):
            svg = svg_of(sheet, live=True)
            svg = svg_safe(svg[svg.index("<svg") :])
            mark = sha256(svg.encode()).hexdigest()[:16]
            size = [round(sheet.width, 2), round(sheet.height, 2)]
            found.append({"number": sheet.number, "title": sheet.title, "size": size, "mark": mark, "svg": svg})
        return found

    # What a page asks for.

    async def act(self, act: Mapping[str, Any]) -> dict[str, Any]:
        """One act; every page sees what comes of it. Raises RefusedError."""
        own = {"sheet": self._open_sheet, "reading": self._keep, "values": self._values, "try": self._try}
        own |= {"take": self._take, "take back": self._take_back}
        do = own.get(str(act.get("do")))
        return await do(act) if do is not None else await self._work(act)

    async def _work(self, act: Mapping[str, Any]) -> dict[str, Any]:
        async with self.lock:
            if self.works is None:
                raise RefusedError("The plan could not be read yet: mend its faults first.")
            seen = await asyncio.to_thread(self.works.do, act)
        self.hub.put("machine", seen)
        return seen

    # The first power-up.

    async def _open_sheet(self, _: Mapping[str, Any]) -> dict[str, Any]:
        """Show the sheet of the first power-up from here on."""
        if self.good is None:
            raise RefusedError("The plan could not be read yet: mend its faults first.")
        if self.cabinet is None:
            await self._open_cabinet()
        return {}

    async def _open_cabinet(self) -> None:
        """The sheet of the plan as it stands; what faults would read is worked out behind it."""
        read = self.good
        assert read is not None
        assert read.outcome is not None
        async with self.at_cabinet:
            design, failed = read.outcome.design, read.report.crashed if read.report else ()
            async with self.writing:  # no entry may go to the old sheet while the new one takes up the file
                self.cabinet = cabinet = await asyncio.to_thread(Cabinet, self.path, design, failed, read.files)
            self.hub.put("cards", cabinet.cards() | {"file": cabinet.entries.path.name})
            self.hub.put("readings", cabinet.readings())
            self.hub.put("causes", {})
        self.start(self._warm(cabinet))

    async def _warm(self, cabinet: Cabinet) -> None:
        async with self.at_cabinet:
            await asyncio.to_thread(cabinet.warm)
        await self._find_causes(cabinet)

    async def _keep(self, act: Mapping[str, Any]) -> dict[str, Any]:
        cabinet = self.cabinet
        if cabinet is None:
            raise RefusedError("The sheet is not open. Open it again.")
        async with self.writing:
            kept = await asyncio.to_thread(cabinet.keep, act)
        self.hub.put("readings", cabinet.readings())
        self.start(self._find_causes(cabinet))
        return kept

    async def _find_causes(self, cabinet: Cabinet) -> None:
        """What the readings come from; only the newest question is answered."""
        self.asked_causes += 1
        mine = self.asked_causes
        async with self.at_cabinet:
            if mine == self.asked_causes and cabinet is self.cabinet:
                self.hub.put("causes", {"busy": True})
                self.hub.put("causes", await asyncio.to_thread(cabinet.causes))

    # What if.

    async def _values(self, act: Mapping[str, Any]) -> dict[str, Any]:
        return self._ready_trials().values(act)

    def _ready_trials(self) -> Trials:
        if self.trials is None:
            raise RefusedError("The plan could not be read yet: mend its faults first.")
        return self.trials

    async def _try(self, act: Mapping[str, Any]) -> dict[str, Any]:
        """Begin a trial; what comes of it is shown when it is there."""
        trials = self._ready_trials()
        if act.get("kind") == "left":
            self.start(self._find_left(trials))
            return {}
        self.asked_trials += 1
        self.hub.put("trial", self.trial.told | {"busy": True, "can": False, "taken": bool(self.taken)})
        self.start(self._find_trial(trials, act, self.asked_trials))
        return {"serial": self.asked_trials}

    async def _find_trial(self, trials: Trials, act: Mapping[str, Any], serial: int) -> None:
        """Only the newest trial is made; those before it are overtaken."""
        async with self.trying:
            if serial != self.asked_trials or trials is not self.trials:
                return
            try:
                trial = await asyncio.to_thread(trials.attempt, act)
            except RefusedError as problem:
                trial = Trial(None, {"said": str(problem)})
        if serial == self.asked_trials and trials is self.trials:
            self.trial = trial
            self._show_trial(trial.told)

    def _show_trial(self, told: dict[str, Any]) -> None:
        if not told:
            self.trial = Trial(None, {})
        can = self.trial.outcome is not None
        self.hub.put("trial", told | {"serial": self.asked_trials, "can": can, "taken": bool(self.taken)})

    async def _find_left(self, trials: Trials) -> None:
        outcome = self.trial.outcome
        self.hub.put("left", {"busy": True})
        async with self.trying:
            found = await asyncio.to_thread(trials.left, outcome)
        self.hub.put("left", found | {"of": "Left in the trial" if outcome is not None else "Left in the plan"})

    async def _take(self, act: Mapping[str, Any]) -> dict[str, Any]:
        _need_local(act)
        if act.get("serial") != self.asked_trials:
            raise RefusedError("This trial was overtaken. Try it again.")
        self.taken.append(await asyncio.to_thread(self._ready_trials().take, self.trial))
        del self.taken[:-_MOST_TAKEN]
        return {}

    async def _take_back(self, act: Mapping[str, Any]) -> dict[str, Any]:
        _need_local(act)
        if not self.taken:
            raise RefusedError("Nothing was taken over.")
        await asyncio.to_thread(take_back, self.taken[-1])
        self.taken.pop()
        return {}

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
