"""What if: trials of values beside the plan, the newest alone; one is taken over into the file, and taken back."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from typing import Any

from wiring.rehearsal.acts import UNREAD, RefusedError
from wiring.rehearsal.hub import Hub
from wiring.rehearsal.trials import Taken, Trial, Trials, take_back

#: Takings over that can be undone.
_MOST_TAKEN = 20


def _need_local(act: Mapping[str, Any]) -> None:
    if act.get("local") is not True:
        raise RefusedError("Only the computer that serves the page changes the plan.")


class WhatIf:
    """The trials of one plan; `start` lets something run beside."""

    def __init__(self, hub: Hub, start: Callable[[Any], None]) -> None:
        self.hub, self.start = hub, start
        self.trials: Trials | None = None
        self.trial = Trial(None, {})
        self.asked = 0
        self.taken: list[Taken] = []
        self.lock = asyncio.Lock()
        self.acts = {"values": self._values, "try": self._try, "take": self._take, "take back": self._take_back}

    def renew(self, trials: Trials) -> None:
        """Another version of the plan: trials of the one before are shown no more."""
        self.trials = trials
        self._show(Trial(None, {}))

    def _ready(self) -> Trials:
        if self.trials is None:
            raise RefusedError(UNREAD)
        return self.trials

    async def _values(self, act: Mapping[str, Any]) -> dict[str, Any]:
        return self._ready().values(act)

    async def _try(self, act: Mapping[str, Any]) -> dict[str, Any]:
        """Begin a trial; what comes of it is shown when it is there."""
        trials = self._ready()
        if act.get("kind") == "left":
            self.start(self._find_left(trials))
            return {}
        self.asked += 1
        self.hub.put("trial", self.trial.told | {"busy": True, "can": False, "taken": bool(self.taken)})
        self.start(self._find(trials, act, self.asked))
        return {"serial": self.asked}

    async def _find(self, trials: Trials, act: Mapping[str, Any], serial: int) -> None:
        """Only the newest trial is made; those before it are overtaken."""
        async with self.lock:
            if serial != self.asked or trials is not self.trials:
                return
            try:
                trial = await asyncio.to_thread(trials.attempt, act)
            except RefusedError as problem:
                trial = Trial(None, {"said": str(problem)})
        if serial == self.asked and trials is self.trials:
            self._show(trial)

    def _show(self, trial: Trial) -> None:
        self.trial = trial
        can = trial.outcome is not None
        self.hub.put("trial", trial.told | {"serial": self.asked, "can": can, "taken": bool(self.taken)})

    async def _find_left(self, trials: Trials) -> None:
        outcome = self.trial.outcome
        self.hub.put("left", {"busy": True})
        async with self.lock:
            found = await asyncio.to_thread(trials.left, outcome)
        self.hub.put("left", found | {"of": "Left in the trial" if outcome is not None else "Left in the plan"})

    async def _take(self, act: Mapping[str, Any]) -> dict[str, Any]:
        _need_local(act)
        if act.get("serial") != self.asked:
            raise RefusedError("This trial was overtaken. Try it again.")
        self.taken.append(await asyncio.to_thread(self._ready().take, self.trial))
        del self.taken[:-_MOST_TAKEN]
        return {}

    async def _take_back(self, act: Mapping[str, Any]) -> dict[str, Any]:
        _need_local(act)
        if not self.taken:
            raise RefusedError("Nothing was taken over.")
        await asyncio.to_thread(take_back, self.taken[-1])
        self.taken.pop()
        return {}
