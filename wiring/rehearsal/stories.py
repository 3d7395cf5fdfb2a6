"""A story of the stop proof played step by step on the bench, each step as the proof plays it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.script import Moment, StopUse
from wiring.control.settle import condition_of
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.stop.records import StopProof
from wiring.rehearsal.bench import Bench, Hands
from wiring.solver.assembly import Actuator


class Story(Struct, frozen=True):
    """One device of a stop worked with some faults, in the circumstances that show the verdict."""

    use: StopUse
    device: str
    faults: tuple[Fault, ...]
    condition: Condition
    verdict: str
    moment: Moment | None
    alive: tuple[str, ...]


def stories_of(proof: StopProof) -> dict[tuple[str, str, str], Story]:
    """By stop, device and fault ("" for none): every case of the proof that can be played."""
    found = {}
    by_id = {fault.id: fault for fault in (*proof.faults, *proof.left_out)}
    for name, result in proof.results.items():
        for device in result.use.devices:
            found[name, device, ""] = Story(result.use, device, (), Condition(), "", None, ())
        for one in result.verdicts:
            found[name, one.device, one.fault.id] = _story(result.use, one, by_id)
    return found


def _story(use: StopUse, one: FaultVerdict, by_id: dict[str, Fault]) -> Story:
    hidden = one.verdict is Verdict.HIDDEN and one.next and one.next[0] in by_id
    faults = (one.fault, by_id[one.next[0]]) if hidden else (one.fault,)
    return Story(use, one.device, faults, condition_of(one), one.verdict.value, one.moment, one.alive)


class Step(NamedTuple):
    """What is done, and the moment of the proof that is reached then, None on the way to one."""

    words: str
    do: Callable[[], None]
    moment: Moment | None = None


class Play:
    """A story on its way: `steps` are ahead, `told` is behind."""

    def __init__(self, bench: Bench, story: Story) -> None:
        self.bench, self.story = bench, story
        self.condition = story.condition
        self.told: list[str] = []
        self.kept: tuple[Hands, object] | None = None
        bench.run_from_work(story.use)
        self.base = bench.hands
        self.worked = self.base.worked
        self.steps = self._steps()

    def next(self) -> Moment | None:
        """Do the next step; gives the moment that it reaches."""
        step = self.steps.pop(0)
        self.bench.condition = self.condition
        step.do()
        self.told.append(step.words)
        return step.moment

    def _hands(self, worked: frozenset[Actuator] | None = None, **changes: object) -> Callable[[], None]:
        """An act with some operators worked, everything else as it stands."""

        def do() -> None:
            hands = self.bench.hands if worked is None else replace(self.bench.hands, worked=worked)
            self.bench.act(replace(hands, **changes), wait=True)

        return do

    def _steps(self) -> list[Step]:
        story, condition = self.story, self.condition
        use, device = story.use, story.device
        held = device in use.let_go
        words = " and ".join(fault.words for fault in story.faults) or "no fault"
        late, programs = condition.while_stopped, condition.outputs_on
        steps = [Step(f"the machine runs; {words}", self._hands(faults=() if late else story.faults), Moment.FAULT)]
        on = self._hands(use.stopped(device, self.worked), programs=programs)
        acts = f"{device} is let go" if held else f"{device} is worked"
        steps.append(Step(acts, on, None if late else Moment.STOP))
        if late:
            steps.append(
                Step(
                    f"while it is {'let go' if held else 'in'}: {words}", self._hands(faults=story.faults), Moment.STOP
                )
            )
        if condition.changed:
            others = ", ".join(sorted(part for part, _ in condition.changed))
            changed = self._hands(use.stopped(device, self.worked ^ condition.changed))
            steps.append(Step(f"{others} worked while it is {'let go' if held else 'in'}", changed, Moment.TRIED))
        alone = self._left_alone()
        if use.stopped(device, alone) != use.stopped(device, self.worked):
            steps.append(Step("other hands let go", self._hands(use.stopped(device, alone))))
        released = f"{device} stays let go" if held else f"{device} is released"
        steps.append(Step(released, self._hands(use.released(device, alone)), Moment.RELEASE))
        steps += self._starts()
        demand = self._hands(use.stopped(device, self.worked), programs=programs)
        steps.append(Step(f"{acts} again", self._aside(demand), Moment.DEMAND))
        off = self._hands(self._left_alone(), mains=False, programs=programs)
        steps.append(Step("as before that; the mains are lost", self._back(off), Moment.MAINS_OFF))
        steps.append(Step("the mains return", self._hands(mains=True), Moment.MAINS_ON))
        return steps

    def _starts(self) -> list[Step]:
        """The start devices pressed one after the other, each let go as the next is pressed."""
        steps = []
        for start in self.story.use.starts:
            press = self._hands(self.worked | {(start, "operator")}, programs=True)
            steps.append(Step(f"{start} is pressed", press))
        words = f"{self.story.use.starts[-1]} is let go" if self.story.use.starts else "nothing is there to start it"
        return [*steps, Step(words, self._hands(self.worked, programs=True), Moment.AGAIN)]

    def _left_alone(self) -> frozenset[Actuator]:
        return self.condition.left_alone(self.story.use, self.worked)

    def _aside(self, act: Callable[[], None]) -> Callable[[], None]:
        """An act after which everything can be put back."""

        def do() -> None:
            self.kept = self.bench.hands, self.bench.memory()
            act()

        return do

    def _back(self, act: Callable[[], None]) -> Callable[[], None]:
        def do() -> None:
            if self.kept is not None:
                self.bench.put(*self.kept)  # type: ignore[arg-type]
            act()

        return do
