"""Valves that must never be on together: the feed of each passes the break contacts of the others' relays."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set

from msgspec import Struct

from wiring.describe.build import Build, Consumer, Refused
from wiring.describe.description import Description

#: Relays of the library by the change-overs that they have.
_RELAYS = {1: "relay-24v-dc-1-changeover", 2: "relay-24v-dc-2-changeover", 4: "relay-24v-dc-4-changeover"}


class Lock(Struct, frozen=True):
    """How the relay of a valve is fed: from the rest side of the change-over that works the valve `after`, which never
    feeds both, then through break contacts of the relays of further ones, each with its change-over; `poles` are those
    that its own relay needs."""

    after: str
    past: tuple[tuple[str, int], ...]
    poles: int

    @property
    def relay(self) -> str:
        """The key of its relay in the library."""
        return next(key for poles, key in _RELAYS.items() if poles >= self.poles)


def exclusions(description: Description) -> Mapping[str, Set[str]]:
    """For each valve those that must never be on together with it, whichever of the two says so."""
    found: dict[str, set[str]] = {name: set() for name, load in description.loads.items() if load.sort == "valve"}
    for name in found:
        for other in description.loads[name].excludes or ():
            found[name].add(other)
            found[other].add(name)
    return found


def locks_of(description: Description) -> Mapping[str, Lock]:
    """The lock of each valve; those that stand first are fed first. Raises Refused where relays have too few contacts.

    A change-over is itself a lock, so that a row of valves of which one at most is on needs one for each.
    """
    apart = exclusions(description)
    order = list(apart)
    ahead = {name: [other for other in order[:n] if other in apart[name]] for n, name in enumerate(order)}
    poles = dict.fromkeys(order, 1)
    found: dict[str, tuple[str, tuple[tuple[str, int], ...]]] = {}
    for name, others in ahead.items():
        chained = [one for one in others if set(ahead[one]) <= set(others)]
        after = max(chained, key=lambda one: len(ahead[one]), default="")
        rest = [one for one in others if one != after and one not in ahead.get(after, ())]
        for one in rest:
            poles[one] += 1
        found[name] = (after, tuple((one, poles[one]) for one in rest))
    short = next((name for name, count in poles.items() if count > max(_RELAYS)), None)
    if short is not None:
        raise Refused(
            f"{short} needs a relay with {poles[short]} change-overs to lock what it excludes",
            f"those of the library have {max(_RELAYS)} at most",
            "Let valves that exclude the same ones exclude one another too, or lock them in the plan by hand.",
            ("loads", short, "excludes"),
        )
    return {name: Lock(after, past, poles[name]) for name, (after, past) in found.items()}


def feed_of(build: Build, name: str, title: str, relay: str) -> None:
    """Feeds the contact of a valve's relay from two contacts of the stop relay, past those that exclude it."""
    draft, lock = build.draft, build.locks[name]
    passed = [f"{build.relays[other]}:{pole}" for other, pole in lock.past]
    ends = [end for one in passed for end in (f"{one}1", f"{one}2")] + [f"{relay}:11"]
    if lock.after:
        build.resting[lock.after].append(ends[0])
    else:
        build.third.append(Consumer(ends[0], f"feed {title}"))
    for start, to in zip(ends[1::2], ends[2::2], strict=True):
        draft.wire("switched", start, to, build.type("control"), f"{title} locked")
    build.relays[name] = relay
    build.resting[name] = draft.chain("switched", f"{relay}:12", build.type("control"), f"while {title} is off")


def runs_of(description: Description) -> Mapping[str, tuple[str, ...]]:
    """What works together, by state; where it is not said everything does, in as many states as the locks ask for.

    What no state names works all the same at times: each for itself, in a state of its own.
    """
    if description.runs:
        named = {name for names in description.runs.values() for name in names}
        rest = (name for name in (*description.axes, *description.loads) if name not in named)
        return {**description.runs, **{f"{name}-alone": (name,) for name in rest}}
    apart = exclusions(description)
    everything = (*description.axes, *description.loads)
    found: list[tuple[str, ...]] = []
    for first in [name for name in apart if apart[name]] or [""]:
        if not any(first in one for one in found):
            found.append(tuple(_together(everything, first, apart)))
    return {f"work-{n}" if n > 1 else "work": names for n, names in enumerate(found, 1)}


def _together(everything: tuple[str, ...], first: str, apart: Mapping[str, Set[str]]) -> Iterator[str]:
    """All that may be on with the first one, and with what of it was taken before."""
    taken = {first}
    for name in everything:
        if not taken & apart.get(name, set()):
            taken.add(name)
    return (name for name in everything if name in taken)
