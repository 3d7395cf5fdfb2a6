"""All findings in full: what, where it is marked, how much, after which standard, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiring.drawing.columns_of_text import CHAR, LINE
from wiring.drawing.content import Content
from wiring.drawing.paper import Paper
from wiring.drawing.prepare import Prepared
from wiring.drawing.shapes import Group, Shape, Text, wrapped
from wiring.findings import Finding

_INDENT = 8.0


def _marked_on(circuits: Mapping[int, tuple[Group, ...]]) -> dict[int, int]:
    return {int(group.id): number for number, groups in circuits.items() for group in groups if group.kind == "finding"}


def _paragraphs(number: int, finding: Finding, sheet: int | None) -> Iterator[tuple[str, bool, float]]:
    """The lines of a finding before they are wrapped: text, bold, indent."""
    where = f"marked on sheet {sheet}" if sheet else f"concerns {', '.join(finding.subjects)}"
    yield f"{number} {finding.signal.value} {finding.rule} ({where})", True, 0.0
    yield finding.summary, False, _INDENT
    if finding.limit is not None:
        yield f"Limit: {finding.limit.source}", False, _INDENT
    if finding.harm:
        yield f"Harm: {finding.harm}", False, _INDENT
    for way in finding.mend:
        yield f"Mend: {way}", False, _INDENT
    for root in finding.explained_by:
        yield f"Follows from {root.rule} ({', '.join(root.subjects)})", False, _INDENT
    if finding.accepted:
        yield f"Accepted by the builder: {finding.accepted}", False, _INDENT


def findings_contents(prepared: Prepared, circuits: Mapping[int, tuple[Group, ...]], paper: Paper) -> list[Content]:
    """The sheets that list all findings; none where there is no finding."""
    area = paper.area
    sheets: list[list[Shape]] = []
    y = area.y2
    marked = _marked_on(circuits)
    for number, finding in enumerate(prepared.findings, 1):
        lines = []
        for text, bold, indent in _paragraphs(number, finding, marked.get(number)):
            most = int((area.width - indent) / CHAR)
            lines += [(piece, bold, indent) for piece in wrapped(text, most)]
        if y + LINE * min(len(lines), 4) > area.y2:
            sheets.append([])
            y = area.y1
        for piece, bold, indent in lines:
            if y + LINE > area.y2:
                sheets.append([])
                y = area.y1
            y += LINE
            sheets[-1].append(Text(area.x1 + indent, y, piece, bold=bold))
        y += LINE / 2
    return [Content("Findings", "findings", (Group("findings", "", tuple(shapes)),)) for shapes in sheets]
