"""The sheet of the first power-up while it is filled: laid anew after a save, the causes of its readings looked for."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from wiring.rehearsal.acts import UNREAD, RefusedError
from wiring.rehearsal.cabinet import Cabinet
from wiring.rehearsal.hub import Hub
from wiring.rehearsal.version import Read


class PowerUp:
    """The sheet of one plan; `start` lets something run beside."""

    def __init__(self, path: Path, hub: Hub, start: Callable[[Any], None]) -> None:
        self.path, self.hub, self.start = path, hub, start
        self.read: Read | None = None
        self.cabinet: Cabinet | None = None
        self.at_cabinet, self.writing = asyncio.Lock(), asyncio.Lock()
        self.asked_causes = 0
        self.acts = {"sheet": self._open, "reading": self._keep}

    def renew(self) -> None:
        """Another version of the plan is there as `read`: a sheet that is open follows it."""
        if self.cabinet is not None or self.at_cabinet.locked():
            self.start(self._lay())

    async def _open(self, _: Mapping[str, Any]) -> dict[str, Any]:
        """Show the sheet of the first power-up from here on."""
        if self.read is None:
            raise RefusedError(UNREAD)
        if self.cabinet is None:
            await self._lay()
        return {}

    async def _lay(self) -> None:
        """The sheet of the plan as it stands; what faults would read is worked out behind it."""
        async with self.at_cabinet:
            read = self.read
            assert read is not None
            assert read.outcome is not None
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
