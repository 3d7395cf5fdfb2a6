"""The commands that say what the tool knows: the page of a rule, the clauses, the language of the plan."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import colour, encoding, refuse, width, write


class Standard(StrEnum):
    """The machine standards of the two rulebooks."""

    IEC = "iec"
    NA = "na"


class ClausesFormat(StrEnum):
    """How the clauses are printed."""

    TEXT = "text"
    JSON = "json"


def rule(
    slug: Annotated[str | None, Argument(metavar="SLUG", help="the name of a rule, as a finding prints it")] = None,
    all_rules: Annotated[bool, Option("--all", help="list every rule")] = False,
    clauses: Annotated[bool, Option("--clauses", help="which clauses of the standards are judged, and how")] = False,
    standard: Annotated[
        Standard | None, Option(help="with --clauses: iec is IEC 60204-1, na is NFPA 79; both by default")
    ] = None,
    format: Annotated[ClausesFormat, Option(help="with --clauses: how to print them")] = ClausesFormat.TEXT,
) -> None:
    """Print the page of a rule: what it judges, the harm, examples, limits and their sources; or all rules, or clauses.

    --clauses prints which clauses of the machine standards rules judge, which are checked by hand, and which no plan
    shows.
    """
    from wiring.reports.rule_report import render_list, render_page
    from wiring.rules import SLUGS

    if clauses:
        if slug is not None:
            refuse(
                "--clauses prints those of all rules. The clauses of one rule stand on its page: leave --clauses out."
            )
        _print_clauses(standard, format)
    elif all_rules or slug is None:
        write(render_list(width(), encoding()))
    else:
        if slug not in SLUGS:
            _refuse_slug(slug)
        write(render_page(slug, width(), encoding()))


def _refuse_slug(slug: str) -> None:
    from wiring.plan.fault import nearest
    from wiring.rules import SLUGS

    near = nearest(slug, SLUGS)
    hint = f" Nearest known: {', '.join(near)}." if near else ""
    refuse(f"There is no rule {slug}.{hint} `wiring rule --all` lists them.")


def _print_clauses(standard: Standard | None, format: ClausesFormat) -> None:
    from wiring.documents.coverage import STANDARDS, coverage
    from wiring.reports.coverage_report import coverage_json, render_coverage

    tables = [coverage(book) for book in STANDARDS if standard in (None, book)]
    if format is ClausesFormat.JSON:
        write(coverage_json(tables))
    else:
        write(render_coverage(tables, width=width(), colour=colour(), encoding=encoding()))


def schema(
    description: Annotated[bool, Option("--description", help="that of the description for `wiring new`")] = False,
) -> None:
    """Print the JSON Schema (draft 2020-12) of the plan language, for editors."""
    import json

    from wiring.describe.schema import description_schema
    from wiring.parts.key_texts import key_text
    from wiring.parts.kinds import all_kinds
    from wiring.plan.schema import plan_schema

    found = description_schema() if description else plan_schema(all_kinds(), key_text)
    write(json.dumps(found, indent=2, ensure_ascii=False) + "\n")
