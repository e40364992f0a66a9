"""The keys that other commands and the sheets take: tables, addressees, hazards, injuries, consumers, requirements."""

import argparse
from collections.abc import Callable
from typing import Any

from hazardreport import wording
from hazardreport.app.cli_text import table
from hazardreport.app.terminal import Terminal
from hazardreport.errors import ExitCode

Rows = list[tuple[str, str]]


def add_keys_command(add: Callable[..., Any]) -> None:
    """The words of the command."""
    sub = add("keys", keys)
    sub.add_argument("kind", choices=tuple(KINDS), metavar="KIND", help=wording.sentence("cli.keys.kind"))


def keys(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """Each key of one kind with its name."""
    terminal.say(listed(options.kind))
    return ExitCode.DONE


def listed(kind: str) -> str:
    """A line for each key of a kind: the key, then its name."""
    return table(KINDS[kind](), indent="")


def _tables() -> Rows:
    from hazardreport.standards.confirmed import OWN_CHOICES
    from hazardreport.standards.tables import all_tables, table_as_filed

    held = {key: table_as_filed(*key) for key in all_tables() if key[0] != OWN_CHOICES}
    return [("/".join(key), f"{one.citation.table}: {one.name}") for key, one in held.items() if not one.own_words]


def _addressees() -> Rows:
    from hazardreport.addressees.profiles import profile, profile_keys

    return [(key, profile(key).title) for key in profile_keys()]


def _hazards() -> Rows:
    from hazardreport.risk.hazards import hazards

    return [(one.key, one.name) for one in hazards()]


def _injuries() -> Rows:
    from hazardreport.risk.injuries import injuries

    return [(one.key, one.name) for one in injuries()]


def _consumers() -> Rows:
    from hazardreport.risk.consumers import consumer_kinds

    return [(one.consumer.value, one.who) for one in consumer_kinds()]


def _requirements() -> Rows:
    from hazardreport.risk.requirements import requirements

    return [(one.key, one.name) for one in requirements()]


KINDS: dict[str, Callable[[], Rows]] = {
    "tables": _tables,
    "addressees": _addressees,
    "hazards": _hazards,
    "injuries": _injuries,
    "consumers": _consumers,
    "requirements": _requirements,
}
