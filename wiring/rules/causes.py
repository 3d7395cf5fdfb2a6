"""Which finding explains which: one table of roots and effects, applied once when acceptances are known.

An effect folds under a root where the root holds, in the kind of scope that its row names, an atom of every item that
the effect rests on. Default scopes are the subjects of a finding, by their kind: part, supply, conductor, cable, stop.
Other kinds are stated by the two rules that share them.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from wiring.design.supply.supplies import main_outputs
from wiring.findings import Atom, Scope

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Root, kind of scope, effects. No circle: a test sorts it.
TABLE: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    (
        "terminal-open",
        "part",
        (
            "circuit-never-closed",
            "input-current-wrong",
            "load-undervoltage",
            "supply-never-live",
            "state-not-fed",
            "stop-feedback-missing",
            "part-without-effect",
        ),
    ),
    ("input-current-wrong", "end", ("circuit-never-closed",)),
    ("sensor-type-mismatch", "end", ("circuit-never-closed",)),
    ("output-needs-pull-up", "end", ("circuit-never-closed",)),
    (
        "process-voltage-on-control",
        "pair",
        ("circuit-never-closed", "input-current-wrong", "input-voltage-too-high"),
    ),
    ("polarity-reversed", "reversed", ("sensor-type-mismatch", "input-current-wrong", "output-overloaded")),
    ("part-voltage-exceeded", "part", ("circuit-never-closed",)),
    ("part-voltage-exceeded", "over", ("protection-below-load",)),
    (
        "circuit-never-closed",
        "part",
        ("load-undervoltage", "network-undecided", "supply-never-live", "state-not-fed", "stop-feedback-missing"),
    ),
    ("circuit-never-closed", "supply", ("supply-never-live", "state-not-fed")),
    ("circuit-never-closed", "part", ("load-on-one-pole",)),
    ("terminal-open", "part", ("load-on-one-pole",)),
    ("load-on-one-pole", "part", ("load-undervoltage", "network-undecided", "supply-never-live", "state-not-fed")),
    ("encoder-crossed", "part", ("differential-pair-broken",)),
    ("brake-closes-late", "part", ("stop-category-differs",)),
    ("circuit-never-closed", "bond", ("rail-floating",)),
    (
        "supply-overloaded",
        "supply",
        (
            "load-undervoltage",
            "network-undecided",
            "supply-never-live",
            "supply-headroom-small",
            "protection-below-load",
            "state-not-fed",
            "stop-feedback-missing",
        ),
    ),
    ("supply-overloaded", "small", ("supply-peak-exceeded", "short-not-cleared")),
    (
        "supply-peak-exceeded",
        "supply",
        ("load-undervoltage", "supply-never-live", "supply-headroom-small", "state-not-fed", "stop-feedback-missing"),
    ),
    ("supply-peak-exceeded", "small", ("short-not-cleared",)),
    ("drive-voltage-outside-window", "part", ("load-undervoltage",)),
    ("drive-voltage-outside-window", "window", ("regeneration-too-high",)),
    ("voltage-drop-too-high", "part", ("load-undervoltage", "building-feed-drop-too-high")),
    ("drives-daisy-chained", "lost", ("load-undervoltage", "voltage-drop-too-high")),
    ("load-undervoltage", "misfit", ("supply-never-live", "control-voltage-too-high", "state-not-fed")),
    ("load-undervoltage", "part", ("state-not-fed", "stop-feedback-missing")),
    ("stop-contact-normally-open", "part", ("supply-never-live", "state-not-fed", "stop-feedback-missing")),
    ("supply-never-live", "supply", ("state-not-fed", "stop-feedback-missing")),
    ("coil-never-fed", "part", ("state-not-fed", "stop-feedback-missing")),
    ("control-buzzer", "part", ("state-not-fed",)),
    ("drive-voltage-outside-window", "part", ("state-not-fed",)),
    ("polarity-reversed", "reversed", ("state-not-fed",)),
    ("reversing-without-interlock", "shorted", ("state-not-fed",)),
    ("part-unconnected", "part", ("state-not-fed",)),
    ("control-sense-reversed", "part", ("state-not-fed",)),
    ("cut-out-without-effect", "part", ("control-sense-reversed",)),
    ("stop-reset-bridged", "part", ("stop-feedback-missing", "part-without-effect")),
    ("part-without-effect", "part", ("state-not-fed", "cut-out-without-effect")),
    (
        "stop-channels-joined",
        "part",
        ("load-undervoltage", "supply-never-live", "state-not-fed", "stop-single-channel"),
    ),
    ("drive-fed-at-its-output", "fed output", ("motor-switched-while-driven",)),
    ("drive-fed-at-its-output", "part", ("state-not-fed", "circuit-never-closed")),
    ("cabinet-too-hot", "heat", ("supply-overloaded", "conductor-overloaded", "protection-above-conductor")),
    (
        "conductor-overloaded",
        "conductor",
        (
            "protection-above-conductor",
            "conductor-below-minimum-size",
            "terminal-size-wrong",
            "voltage-drop-too-high",
            "protection-below-load",
            "motor-conductor-margin-small",
            "continuous-load-margin-small",
            "small-conductor-misused",
            "neutral-thinner-than-line",
        ),
    ),
    (
        "protection-above-conductor",
        "conductor",
        (
            "conductor-below-minimum-size",
            "terminal-size-wrong",
            "protective-conductor-too-small",
            "neutral-thinner-than-line",
        ),
    ),
    ("protection-below-load", "part", ("continuous-load-margin-small",)),
    ("conductor-below-minimum-size", "conductor", ("neutral-thinner-than-line",)),
    (
        "protection-above-conductor",
        "behind",
        (
            "conductor-burns-before-device-opens",
            "drive-device-too-large",
            "earth-fault-not-cleared",
            "short-not-cleared",
        ),
    ),
    ("conductor-below-minimum-size", "conductor", ("terminal-size-wrong",)),
    ("conductor-unprotected", "part", ("transformer-unprotected",)),
    ("rails-joined", "joint", ("part-voltage-exceeded",)),
    ("contact-not-rated-for-dc", "contact", ("part-voltage-exceeded",)),
    ("rails-joined", "shorted", ("supply-overloaded", "conductor-overloaded", "protection-above-conductor")),
    ("earth-carries-current", "part", ("state-not-fed", "supply-never-live", "circuit-never-closed")),
    ("earth-carries-current", "conductor", ("earth-conductor-switched",)),
    ("earth-conductor-switched", "cut", ("earth-missing",)),
    ("line-on-earth", "conductor", ("earth-conductor-switched", "conductor-colour-wrong", "protection-below-load")),
    ("line-on-earth", "cut", ("earth-missing",)),
    ("line-on-earth", "part", ("terminal-open", "state-not-fed", "earth-terminal-shared")),
    ("shield-floating", "cable", ("cables-too-close",)),
    ("stop-leaves-hazard", "part", ("stop-contact-bypassed",)),
    ("stop-leaves-hazard", "stop", ("part-without-effect", "coil-never-fed")),
    ("stop-single-channel", "stop", ("coil-never-fed",)),
    (
        "stop-contact-bypassed",
        "part",
        (
            "stop-single-channel",
            "cut-out-without-effect",
            "stop-feedback-missing",
            "part-without-effect",
            "coil-never-fed",
        ),
    ),
    ("stop-feedback-missing", "part", ("part-without-effect",)),
    (
        "stop-contact-bypassed",
        "bypass",
        ("stop-single-channel", "stop-fault-dangerous", "stop-contact-on-earthed-side"),
    ),
    ("stop-leaves-pole", "pole", ("stop-contact-on-earthed-side", "stop-fault-dangerous")),
    ("main-switch-missing", "part", ("neutral-switched-alone",)),
)


def scope(kind: str, *ids: str) -> Scope:
    """The atoms of some ids of one kind."""
    return frozenset((kind, name) for name in ids)


def behind(device: str, conductors: Iterable[str]) -> Scope:
    """Conductors on a loop of a device: that one is too thin for it explains what the device does on that loop."""
    return scope("behind", *(f"{device}|{name}" for name in conductors))


def subject_scope(design: Design, subjects: Iterable[str]) -> Scope:
    """The atoms of a finding's subjects, each by all that bears its name."""
    return frozenset(atom for name in subjects for atom in _atoms(design, name))


def _atoms(design: Design, name: str) -> Iterable[Atom]:
    part = design.parts.get(name)
    if part is not None:
        yield "part", name
        if main_outputs(part):
            yield "supply", name
    if name in design.circuit.conductor:
        yield "conductor", name
    if name in design.origins.cables:
        yield "cable", name
    if name in design.plan.stops:
        yield "stop", name
