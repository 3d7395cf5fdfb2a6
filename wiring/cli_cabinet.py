"""The command that lays out the cabinet, draws it to scale and writes positions into the plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Option
from wiring.cli_changes import Form, FormOption, InPlaceOption, PlanPath, faults_told, one_place, printed, saved
from wiring.cli_output import destination, input_files, refuse, save

if TYPE_CHECKING:
    from wiring.cabinet.study import Study
    from wiring.changes.outcome import Outcome


def cabinet(
    plan: PlanPath,
    out: Annotated[
        Path | None, Option("--out", metavar="FILE", help="draw plate, door and side to this .svg or .pdf file")
    ] = None,
    template: Annotated[
        Path | None,
        Option("--template", metavar="FILE.pdf", help="the plate at 1:1 on sheets of paper, to drill by"),
    ] = None,
    write: Annotated[
        Path | None,
        Option("--write", metavar="FILE", help="write a copy of the plan with all positions to this file"),
    ] = None,
    in_place: InPlaceOption = False,
    all_: Annotated[bool, Option("--all", help="every hole and every conductor")] = False,
    style: FormOption = Form.TEXT,
) -> None:
    """Lay out the cabinet to scale: does it fit, where does each part sit, how long is each wire.

    Exit status: 0 everything has its place, 1 something has none, 2 the plan cannot be read.
    """
    from wiring.cabinet.study import Study
    from wiring.changes.outcome import open_plan
    from wiring.reports.cabinet_report import cabinet_data, render_cabinet

    one_place(write, in_place)
    for path, endings in ((out, (".svg", ".pdf")), (template, (".pdf",))):
        if path is not None:
            _named(path, endings)
            destination(path, "The picture", plan)
    with faults_told(style):
        base = open_plan(plan)
        study = Study(base.design.circuit)
        wrote = _pictures(study, base, out, template)
        wrote += _positions(study, base, write, in_place)
        printed(
            lambda: cabinet_data(study, wrote),
            lambda width, colour, encoding: render_cabinet(
                study,
                base.design.machine,
                base.design.inside.parts_w,
                width=width,
                colour=colour,
                encoding=encoding,
                wrote=wrote,
                everything=all_,
            ),
            style,
        )
        raise SystemExit(int(study.layout is None or bool(study.layout.unplaced)))


def _named(path: Path, endings: tuple[str, ...]) -> None:
    if path.suffix.lower() not in endings:
        refuse(f"{path} is no name for it. Expected a file that ends in {' or '.join(endings)}.")


def _pictures(study: Study, base: Outcome, out: Path | None, template: Path | None) -> list[str]:
    from wiring.documents.cabinet_files import picture, template_pdf

    inputs = input_files(base.design.reading, base.sources)
    wrote = []
    if out is not None:
        save(out, picture(base.design, study, out.suffix.lower()), inputs)
        wrote.append(str(out))
    if template is not None:
        data = (
            template_pdf(study.layout, base.design.parts, base.design.plan) if study.layout else "no part has a place"
        )
        if isinstance(data, str):
            refuse(f"There is no template: {data}.")
        save(template, data, inputs)
        wrote.append(str(template))
    return wrote


def _positions(study: Study, base: Outcome, write: Path | None, in_place: bool) -> list[str]:
    from wiring.changes.cabinet_positions import position_edits

    if (write is None and not in_place) or study.layout is None:
        return []
    edits = position_edits(study.layout, base.design.parts, base.design.plan)
    return [saved(base.changed(edits) if edits else base, write, in_place)]
