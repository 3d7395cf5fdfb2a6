"""Acts on the machine as a page asks for them: each names something of the plan, which is looked up, else refused."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec.structs import replace

from wiring.book_words import in_book
from wiring.control.alive import is_alive
from wiring.control.fault_record import Fault
from wiring.control.faults import single_faults
from wiring.design.design import Design
from wiring.rehearsal.bench import MOST_FAULTS, Bench, Hands
from wiring.rehearsal.sight import people, sight
from wiring.rehearsal.stories import Play, Story, stories_of
from wiring.wording import does, natural

#: Lines of what happened, longest step of the clock [s], and stories that are offered.
_MOST_LINES, _LONGEST_S, _MOST_STORIES = 8, 3600.0, 200
#: Acts that do not end the story which is played.
_OF_STORIES = ("story", "step", "clock")
#: The gravest first.
_VERDICTS = ("dangerous", "undecided", "hidden", "unseen", "", "safe")


UNREAD = "The plan could not be read yet: mend its faults first."


class RefusedError(Exception):
    """An act that cannot be done; the message says why, in words for the page, and `now` what stands there instead."""

    def __init__(self, words: str, now: Any = None) -> None:
        super().__init__(words)
        self.now = now


def text_of(act: Mapping[str, Any], key: str, most: int = 200) -> str:
    """A text of an act. Raises RefusedError where it is none."""
    value = act.get(key)
    if not isinstance(value, str) or len(value) > most:
        raise RefusedError(f"{key}: expected a text of at most {most} characters.")
    return value


def _flag(act: Mapping[str, Any], key: str = "on") -> bool:
    value = act.get(key)
    if not isinstance(value, bool):
        raise RefusedError(f"{key}: expected true or false.")
    return value


class Works:
    """The machine of one version of a plan, worked; `log` says what happened, the newest last."""

    def __init__(self, design: Design, before: Works | None = None) -> None:
        self.bench = Bench(design)
        self.faults: dict[str, Fault] = {fault.id: fault for fault in single_faults(design.circuit)}
        self.stories: dict[tuple[str, str, str], Story] = stories_of(design.stopping.proof)
        self.playing: Play | None = None
        self.log: list[str] = []
        if before is not None:
            self._take_over(before)
        self._acts: dict[str, Callable[[Mapping[str, Any]], str]] = {
            "work": self._work,
            "pull": self._pull,
            "mains": self._mains,
            "programs": self._programs,
            "state": self._state,
            "fault": self._fault,
            "clock": self._clock,
            "undo": self._undo,
            "begin": self._begin,
            "story": self._story,
            "step": self._step,
        }

    def _take_over(self, before: Works) -> None:
        """Hands stay where they are over a save, and what was picked up stays so, else each save stops the machine."""
        old, bench = before.bench, self.bench
        first = bench.hands
        operators = {one.actuator for one in bench.use.operators}
        parts = frozenset(bench.design.parts)
        hands = Hands(
            old.hands.state if old.hands.state in bench.design.state_entries else first.state,
            old.hands.worked & operators,
            old.hands.pulled & parts,
            tuple(self.faults[fault.id] for fault in old.hands.faults if fault.id in self.faults),
            old.hands.mains,
            old.hands.programs,
        )
        memory = old.memory()
        known = bench.trips.keys()
        charge = {name: one for name, one in memory.charge.items() if name in parts}
        bench.put(hands, replace(memory, blown=memory.blown & known, charge=charge))
        bench.settle_now()
        self.log = [*before.log[-_MOST_LINES:], "The plan was saved: hands and coils stay as they were."]

    def do(self, act: Mapping[str, Any]) -> dict[str, Any]:
        """Do one act; gives the machine as it then stands. Raises RefusedError."""
        name = text_of(act, "do", 20)
        if name not in self._acts:
            raise RefusedError("This page knows no such act.")
        before = self._state_words()
        words = self._acts[name](act)
        if words and name not in _OF_STORIES:
            self.playing = None  # a hand that does something else ends the story; the machine stays as it stands
        if words:
            self.log.append(f"{words}: {self._answer(before)}")
            del self.log[:-_MOST_LINES]
        return self.seen()

    def seen(self) -> dict[str, Any]:
        """The machine as it stands, with what happened and the story that is played."""
        return sight(self.bench) | {"log": list(self.log), "story": self._story_data()}

    def offers(self) -> dict[str, Any]:
        """What can be worked, put in and played."""
        book = self.bench.design.plan.rulebook
        rows = [
            [
                stop,
                device,
                fault,
                story.verdict,
                in_book(" and ".join(one.words for one in story.faults), book) or "no fault",
            ]
            for (stop, device, fault), story in self.stories.items()
        ]
        rows.sort(key=lambda row: (_VERDICTS.index(row[3]), natural(row[0]), natural(row[1]), natural(row[2])))
        faults = [[one.id, in_book(one.words, book), list(one.subjects), one.kind] for one in self.faults.values()]
        return people(self.bench) | {"stories": rows[:_MOST_STORIES], "all_stories": len(rows), "fault_list": faults}

    # What happened, in words.

    def _state_words(self) -> tuple[set[str], set[str], set[str]]:
        bench = self.bench
        on = {part for part, name in bench.attracted if name in ("coil", "outputs", "brake", "valve")}
        alive = {one.name for one in bench.use.targets if is_alive(one, bench.last_point)}
        return on, alive, {path.split(":")[0] for path in bench.blown}

    def _answer(self, before: tuple[set[str], set[str], set[str]]) -> str:
        now = self._state_words()
        words = [("picks up", "pick up"), ("is fed", "are fed"), ("opens on overload", "open on overload")]
        ends = [("lets go", "let go"), ("is dead", "are dead"), ("is put in order", "are put in order")]
        told = []
        for was, here, rise, fall in zip(before, now, words, ends, strict=True):
            told += [does(sorted(here - was, key=natural), *rise)] if here - was else []
            told += [does(sorted(was - here, key=natural), *fall)] if was - here else []
        if self.bench.restless:
            told.append(f"never at rest: {', '.join(self.bench.restless)}")
        return "; ".join(told) or "nothing answers"

    def _story_data(self) -> dict[str, Any] | None:
        if self.playing is None:
            return None
        story, ahead = self.playing.story, self.playing.steps
        return {
            "told": self.playing.told,
            "next": ahead[0].words if ahead else "",
            "verdict": story.verdict,
            "moment": story.moment.value if story.moment else "",
            "alive": list(story.alive),
        }

    # The acts.

    def _work(self, act: Mapping[str, Any]) -> str:
        key = (text_of(act, "part"), text_of(act, "actuator"))
        one = next((one for one in self.bench.use.operators if one.actuator == key), None)
        if one is None:
            raise RefusedError("The plan has no such operator.")
        on = _flag(act)
        hands = self.bench.hands
        worked = hands.worked | {key} if on else hands.worked - {key}
        if worked == hands.worked:
            return ""
        self.bench.act(replace(hands, worked=worked))
        return f"{key[0]} {'worked' if on else 'let go' if one.springs_back else 'put back'}"

    def _pull(self, act: Mapping[str, Any]) -> str:
        name, on = text_of(act, "part"), _flag(act)
        paths = self.bench.paths_of(frozenset({name}))
        if not paths:
            raise RefusedError("The plan has no such fuse or breaker.")
        pulled = self.bench.hands.pulled | {name} if on else self.bench.hands.pulled - {name}
        self.bench.act(replace(self.bench.hands, pulled=pulled), renewed=frozenset() if on else paths)
        return f"{name} {'out' if on else 'in, whole'}"

    def _mains(self, act: Mapping[str, Any]) -> str:
        on = _flag(act)
        self.bench.act(replace(self.bench.hands, mains=on), mains_back=on)
        return f"mains {'on' if on else 'off'}"

    def _programs(self, act: Mapping[str, Any]) -> str:
        on = _flag(act)
        self.bench.act(replace(self.bench.hands, programs=on))
        return f"outputs of programs {'on' if on else 'off'}"

    def _state(self, act: Mapping[str, Any]) -> str:
        name, bench = text_of(act, "name"), self.bench
        if name not in bench.design.state_entries:
            raise RefusedError("The plan has no such state.")
        worked = bench.hands.worked - bench.latched_in(bench.hands.state) | bench.latched_in(name)
        bench.act(replace(bench.hands, state=name, worked=worked))
        return f"state {name}"

    def _fault(self, act: Mapping[str, Any]) -> str:
        fault, on = self.faults.get(text_of(act, "id")), _flag(act)
        if fault is None:
            raise RefusedError("The plan has no such fault.")
        left = tuple(one for one in self.bench.hands.faults if one.id != fault.id)
        if on and len(left) >= MOST_FAULTS:
            raise RefusedError(f"There are {MOST_FAULTS} faults in already. Take one out first.")
        self.bench.act(replace(self.bench.hands, faults=(*left, fault) if on else left))
        return f"{'put in' if on else 'mended'}: {fault.words}"

    def _clock(self, act: Mapping[str, Any]) -> str:
        seconds = act.get("seconds")
        if seconds is None:
            if not self.bench.due:
                return ""
            self.bench.to_the_next()
            return f"clock at {self.bench.time_s:.3g} s"
        if isinstance(seconds, bool) or not isinstance(seconds, int | float) or not 0.0 < seconds <= _LONGEST_S:
            raise RefusedError(f"seconds: expected a number above 0, at most {_LONGEST_S:.0f}.")
        due = bool(self.bench.due)
        self.bench.advance(float(seconds))
        return f"clock at {self.bench.time_s:.3g} s" if due and not self.bench.due else ""

    def _undo(self, act: Mapping[str, Any]) -> str:
        return "taken back" if self.bench.undo() else ""

    def _begin(self, act: Mapping[str, Any]) -> str:
        self.bench.begin()
        return "begun again, from cold"

    def _story(self, act: Mapping[str, Any]) -> str:
        key = (text_of(act, "stop"), text_of(act, "device"), text_of(act, "fault"))
        if key not in self.stories:
            raise RefusedError("The proof of the stops has no such story.")
        self.playing = Play(self.bench, self.stories[key])
        return "the machine runs"

    def _step(self, act: Mapping[str, Any]) -> str:
        if self.playing is None or not self.playing.steps:
            raise RefusedError("There is no further step.")
        words = self.playing.steps[0].words
        self.playing.next()
        return words
