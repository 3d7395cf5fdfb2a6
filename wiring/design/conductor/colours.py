"""The colours that a book advises and asks for, and the binding rules that a conductor breaks."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor.use import use_of
from wiring.design.design import Design
from wiring.rulebooks.identification import ColourRule

#: What North America calls the side of a separate AC source that is grounded: it is coloured as a neutral is.
_GROUNDED = "grounded AC"


def _spoken_role(design: Design, conductor: Conductor, role: Role) -> str:
    """The role of a conductor as the tables of colours know it."""
    nets = design.nets
    if (
        role is Role.AC
        and design.plan.rulebook == "na"
        and any(nets.bonds_at.get(nets.of[end]) for end in conductor.ends)
    ):
        return _GROUNDED
    return str(role)


class ColourAdvice:
    """The colours that a book advises, asked once for each role and use."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.known: dict[tuple[str, str], tuple[ColourRule, ...]] = {}

    def broken(self, conductor: Conductor, use: str) -> ColourRule | None:
        """The advice that a wire does not follow; None also where it breaks what binds."""
        assert conductor.colour is not None
        role = _spoken_role(self.design, conductor, self.design.roles.of_conductor(conductor))
        if (role, use) not in self.known:
            self.known[role, use] = self.design.book.colour_rules(role, use)
        rules = [rule for rule in self.known[role, use] if rule.broken_by(conductor.colour)]
        if any(rule.binding for rule in rules):
            return None
        return next((rule for rule in rules if rule.strength == "recommended"), next(iter(rules), None))


EARTH_COLOURS = frozenset({"GNYE", "GN"})


class ColourFaults:
    """The binding rules that a colour breaks, asked of the rulebook once for each use."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.known: dict[tuple[str, str, str], tuple[ColourRule, ...]] = {}

    def broken(self, conductor: Conductor, role: Role) -> ColourRule | None:
        """The first one that a conductor breaks."""
        if conductor.colour is None:
            return None
        use = "power" if use_of(self.design.machine, conductor) == "power" else "control"
        key = (_spoken_role(self.design, conductor, role), conductor.colour, use)
        if key not in self.known:
            self.known[key] = tuple(r for r in self.design.book.colour_faults(*key) if r.binding)
        broken = next((rule for rule in self.known[key] if not _is_excused(self.design, conductor, rule)), None)
        return broken or self._of_the_grounded_side(conductor, role)

    def _of_the_grounded_side(self, conductor: Conductor, role: Role) -> ColourRule | None:
        """The rule against a colour of the grounded side on a conductor that leads to the other side alone."""
        if role is not Role.AC:
            return None
        nets = self.design.nets
        poles = {reached.pole for reached in nets.reach(conductor.a).sources if reached.pole.main}
        if not poles or any(nets.of[pole.node] in nets.bonds_at for pole in poles):
            return None
        if not all(pole.ground in nets.bonds_at for pole in poles):
            return None
        use = "power" if use_of(self.design.machine, conductor) == "power" else "control"
        rules = self.design.book.colour_faults(str(role), conductor.colour or "", use)
        return next((rule for rule in rules if rule.strength == "avoid"), None)


def _is_excused(design: Design, conductor: Conductor, rule: ColourRule) -> bool:
    """A core that borrows the colour of a neutral its cable does not have."""
    if conductor.cable is None or rule.strength != "reserved" or EARTH_COLOURS & set(rule.colours):
        return False
    mates = (other for other in design.circuit.conductors if other.cable == conductor.cable)
    return not any(design.roles.of_conductor(mate) is Role.NEUTRAL for mate in mates)


def advised_colour(design: Design, conductor: Conductor, role: Role) -> str:
    """The colour that the book asks for or advises; "" where it leaves the choice."""
    use = "power" if use_of(design.machine, conductor) == "power" else "control"
    rules = design.book.colour_rules(_spoken_role(design, conductor, role), use)
    wanted = next((rule for rule in rules if rule.strength in ("required", "recommended")), None)
    return "" if wanted is None else wanted.colours[0]
