"""The budget as pictures: supply loading, voltage at the drives, and cabinet temperature, each in every state."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from math import ceil, floor, log10

from msgspec import Struct, field

from wiring.design.design import Design, in_state
from wiring.documents.typeset import printable
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.quantities import show
from wiring.wording import natural

_ROW, _HEAD, _FOOT = 5.0, 12.0, 9.0
_LABEL, _PLOT, _WORDS = 52.0, 66.0, 67.0
_FACE = 'font-family="\'DejaVu Sans Mono\', monospace" fill="#000"'
_CHARACTERS = {"label": 33, "words": 42}


class Bar(Struct, frozen=True):
    """One row of a plot: a bar from 0 to `value`, points, an allowed range, a mark; `words` say the same in figures."""

    label: str
    words: str
    value: float | None = None
    points: tuple[float, ...] = ()
    allowed: tuple[float, float] | None = None
    mark: float | None = None


class Plot(Struct, frozen=True):
    """A picture of bars on one axis. `says` is its content in a sentence for those who do not see it."""

    title: str
    unit: str
    bars: tuple[Bar, ...]
    says: str
    line: float | None = None
    key: str = field(default="")

    @property
    def height(self) -> float:
        """Height of the picture [mm]."""
        return _HEAD + _ROW * len(self.bars) + _FOOT


def plots(design: Design) -> list[Plot]:
    """The pictures that the plan gives data for, in order."""
    found = [_supplies(design), _voltages(design), _temperatures(design)]
    return [plot for plot in found if plot.bars]


def _supplies(design: Design) -> Plot:
    bars = []
    for supply in sorted(design.supplies, key=natural):
        for state, row in design.supplies[supply].items():
            load = 100 * row.current_a / row.available_a if row.available_a > 0 else 0.0
            peak = 100 * row.peak_a / row.available_a if row.available_a > 0 else None
            words = f"{show(row.current_a, 'current')} of {show(row.available_a, 'current')}, peak {_peak(row.peak_a)}"
            bars.append(Bar(f"{supply} {state}", words, load, mark=peak))
    says = "Loading of every supply in every state as a share of what it may deliver at the cabinet's temperature."
    return Plot("Supply loading", "%", tuple(bars), says, 100.0, "bar: load · tick: peak · dashed: all it may deliver")


def _peak(amps: float) -> str:
    return show(amps, "current") if amps < float("inf") else "not known"


def _voltages(design: Design) -> Plot:
    bars = []
    for part in sorted(design.parts.values(), key=lambda part: natural(part.name)):
        buses = [e for e in part.of(Draw) if e.name == "bus" and e.kind == "DC"]
        if not isinstance(part.data, Drive) or not buses:
            continue
        volts = _bus_volts(design, part.name, buses[0])
        low, high = part.data.supply.low, part.data.supply.high
        shown = f"{show(min(volts), 'voltage')} to {show(max(volts), 'voltage')}, allowed {low:g} to {high:g} V"
        bars.append(Bar(f"{part.name} {part.data.title}".strip(), shown, points=volts, allowed=(low, high)))
    says = "Voltage at the supply terminals of every drive in every state, at work and at peak, within what it allows."
    return Plot(
        "Voltage at the drives", "V", tuple(bars), says, None, "box: allowed · ticks: each state, work and peak"
    )


def _bus_volts(design: Design, part: str, bus: Draw) -> tuple[float, ...]:
    layers = (design.states, design.peaks)
    volts = [abs(point.between((part, bus.a), (part, bus.b), "DC")) for layer in layers for point in layer.values()]
    return tuple(volts)


def _temperatures(design: Design) -> Plot:
    bars = []
    if design.inside.rise_k is not None:
        for state in design.state_entries:
            inside = in_state(design, state).inside
            words = f"{show(inside.inside_c, 'temperature')} at {show(inside.heat_w, 'power')} of heat"
            bars.append(Bar(state, words, inside.inside_c))
    says = "Temperature of the air in the cabinet in every state, and the air around it."
    return Plot("Cabinet temperature", "°C", tuple(bars), says, design.ambient_c, "dashed: air around the cabinet")


def _nice_step(largest: float) -> float:
    step: float = 10.0 ** floor(log10(largest / 4))
    return next(step * factor for factor in (1, 2, 2.5, 5, 10) if largest / (step * factor) <= 5)


def _largest(plot: Plot) -> float:
    values = [plot.line or 0.0]
    for bar in plot.bars:
        values += [bar.value or 0.0, bar.mark or 0.0, *bar.points, *(bar.allowed or ())]
    found = max(value for value in values if value < float("inf"))
    return found if found > 0 else 1.0


def plot_svg(plot: Plot) -> str:
    """The picture as SVG in millimetres, black on white; nothing is told by colour."""
    largest = _largest(plot)
    step = _nice_step(largest)
    end = ceil(largest / step) * step
    width = _LABEL + _PLOT + _WORDS
    bottom = _HEAD + _ROW * len(plot.bars)
    pieces = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{plot.height:g}mm" '
        f'viewBox="0 0 {width:g} {plot.height:g}" {_FACE} role="img" aria-label="{escape(plot.says)}">',
        _text(0, 4.5, plot.title, 3.5, bold=True),
        _text(0, 9, plot.key, 2.5),
        *_axis(end, step, bottom, plot.unit),
        *(piece for n, bar in enumerate(plot.bars) for piece in _bar(bar, _HEAD + _ROW * n, end)),
    ]
    if plot.line is not None:
        x = _x(plot.line, end)
        pieces.append(_stroke(x, _HEAD - 1, x, bottom, 0.35, ' stroke-dasharray="1.2 0.8"'))
    return "\n".join([*pieces, "</svg>"])


def _x(value: float, end: float) -> float:
    return round(_LABEL + _PLOT * min(value, end) / end, 2)


def _stroke(x1: float, y1: float, x2: float, y2: float, width: float, more: str = "") -> str:
    ends = f'x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}"'
    return f'<line {ends} stroke="#000" stroke-width="{width}"{more}/>'


def _text(x: float, y: float, text: str, size: float, *, bold: bool = False, anchor: str = "start") -> str:
    weight = ' font-weight="bold"' if bold else ""
    words = escape(printable(text))
    return f'<text x="{x:g}" y="{y:g}" font-size="{size:g}" text-anchor="{anchor}"{weight}>{words}</text>'


def _axis(end: float, step: float, bottom: float, unit: str) -> list[str]:
    pieces = [_stroke(_LABEL, bottom, _LABEL + _PLOT, bottom, 0.25)]
    for n in range(round(end / step) + 1):
        x = _x(n * step, end)
        pieces.append(_stroke(x, _HEAD, x, bottom + 1, 0.1))
        pieces.append(_text(x, bottom + 4.5, f"{n * step:g}", 2.5, anchor="middle"))
    pieces.append(_text(_LABEL + _PLOT + 6, bottom + 4.5, unit, 2.5))
    return pieces


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _bar(bar: Bar, y: float, end: float) -> list[str]:
    pieces = [_text(0, y + 3.4, _cut(bar.label, _CHARACTERS["label"]), 2.5)]
    if bar.allowed:
        x1, x2 = _x(bar.allowed[0], end), _x(bar.allowed[1], end)
        box = f'x="{x1:g}" y="{y + 0.8:g}" width="{x2 - x1:g}" height="{_ROW - 1.6:g}"'
        pieces.append(f'<rect {box} fill="#eee" stroke="#000" stroke-width="0.18"/>')
    if bar.value is not None:
        wide = max(_x(bar.value, end) - _LABEL, 0)
        pieces.append(f'<rect x="{_LABEL:g}" y="{y + 1.2:g}" width="{wide:g}" height="{_ROW - 2.4:g}" fill="#777"/>')
    pieces += [_tick(value, y, end) for value in (*_distinct(bar.points), *((bar.mark,) if bar.mark else ()))]
    return [*pieces, _text(_LABEL + _PLOT + 4, y + 3.4, _cut(bar.words, _CHARACTERS["words"]), 2.5)]


def _distinct(values: Sequence[float]) -> list[float]:
    return sorted({round(value, 2) for value in values})


def _tick(value: float, y: float, end: float) -> str:
    x = _x(value, end)
    return _stroke(x, y + 0.5, x, y + _ROW - 0.5, 0.5)
