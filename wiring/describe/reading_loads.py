"""What a load of a description must say, and what cannot stand beside the rest of it."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.describe.build import own_model
from wiring.describe.description import BUTTONS, CONTROLLER, Description, Load
from wiring.describe.signals import outputs_24v
from wiring.parts.signals import IoCard
from wiring.plan.fault import Fault, nearest
from wiring.plan.ratings import CoilRating
from wiring.plan.source import Node
from wiring.wording import agreeing, listed


def load_faults(description: Description, name: str, node: Node) -> Iterator[Fault]:
    """Each fault of one load at its place."""
    yield from _switched(description, name, node)
    load = description.loads[name]
    wanted = {
        "heater": ("rated",),
        "inverter": ("motor",),
        "motor": ("motor",),
        "appliance": ("rated",),
        "valve": ("rated",),
        "source": ("part",),
    }
    for key in wanted.get(load.sort, ()):
        if getattr(load, key) is None:
            yield Fault(node.place, f"load {name} has no `{key}`", f"`{key}: ...` of the {load.sort}")
    if load.sort == "source" and load.rated is None and load.power is None:
        expected = "`power: 150 W`, for example: the source gives its voltage"
        yield Fault(node.place, f"load {name} does not say what its source feeds", expected)
    if load.sort == "heater":
        yield from _heater(name, load, node)
    if load.excludes is not None:
        valves = [other for other, one in description.loads.items() if one.sort == "valve" and other != name]
        wrong = [other for other in load.excludes if other not in valves]
        if wrong or load.sort != "valve":
            said = f"{listed(wrong)} {agreeing(wrong, 'is', 'are')} no other valve" if wrong else f"{name} is no valve"
            yield Fault(
                node.follow(("excludes",))[0].place, said, "the names of other valves, or `[]` for none of them"
            )
    if load.rated is not None and load.sort in _FED_WITH:
        yield from _rated(name, load, load.rated, node.follow(("rated",))[0])


def _switched(description: Description, name: str, node: Node) -> Iterator[Fault]:
    """Who switches a load: the controller, one of its outputs, or buttons where more than a lamp hangs on them."""
    who, lamp = description.loads[name].switched, description.loads[name].sort == "lamp"
    if who == CONTROLLER or (who == BUTTONS and not lamp):
        return
    place = node.follow(("switched",))[0].place
    if who == BUTTONS:
        yield Fault(
            place, f"load {name} is a lamp, which buttons do not work", f"`{CONTROLLER}`, or one of its outputs"
        )
        return
    given = description.controller if description.controller is not None else {}
    words = description.bought.get(given, given) if isinstance(given, str) else given
    card = own_model(words) if words else None
    known = outputs_24v(card) if isinstance(card, IoCard) else []
    if who not in known:
        expected = f"`{CONTROLLER}`, `{BUTTONS}`" + (f" or an output of it for 24 V: {listed(known)}" if known else "")
        mend = "" if known else "give the `controller` to name one of its outputs"
        yield Fault(place, f"nothing that is called {who!r} switches a load", expected, mend, nearest(who, known))
    elif [one.switched for one in description.loads.values()].count(who) > 1:
        yield Fault(place, f"the output {who} switches more than one load", "an output of its own for each")


#: What each kind of load is fed with, and by what.
_FED_WITH = {
    "heater": ("AC or DC", "a supply feeds one for DC"),
    "appliance": ("AC or DC", "a supply feeds one for DC"),
    "valve": ("DC", "valves are worked at 24 V DC"),
    "lamp": ("DC", "lamps are lit at 24 V DC; one for the mains is an `appliance`"),
    "source": ("", ""),
}


def _rated(name: str, load: Load, rated: CoilRating, node: Node) -> Iterator[Fault]:
    """The rating of a load says voltage, AC or DC, and power; neither of the two is safe to guess."""
    kind, why = _FED_WITH[load.sort]
    example = "24 V DC 5 W" if kind == "DC" else "230 V AC 600 W"
    if not rated.is_known:
        yield Fault(node.place, f"load {name} does not say what it takes", f"voltage and power, such as {example}")
    elif kind and (not rated.voltage.kind or rated.voltage.kind not in kind):
        said = f"is made for {rated.voltage.kind}" if rated.voltage.kind else "does not say whether it is AC or DC"
        yield Fault(node.place, f"load {name} {said}", f"{kind} behind the voltage, such as {example}: {why}")


def _heater(name: str, load: Load, node: Node) -> Iterator[Fault]:
    """A heater says what would burn without it: none of the two has an answer that is safe to take."""
    if load.liquid is None:
        expected = (
            "`liquid: true` or `liquid: false`: in a liquid it burns when it is dry, so a level switch keeps it off"
        )
        yield Fault(node.place, f"load {name} does not say whether it lies in a liquid", expected)
    if load.cut_out is None:
        expected = "`cut_out: 120 °C`, for example: above all that it is used at, below what harms"
        yield Fault(node.place, f"load {name} does not say at which temperature its heat is cut off", expected)
