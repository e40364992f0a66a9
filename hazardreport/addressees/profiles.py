"""Profiles of addressees by their keys: what law or practice asks of a report, as data; says nothing about a case."""

import tomllib
from functools import cache
from pathlib import Path

from hazardreport.addressees.asked import (
    Clause,
    ClauseStatus,
    Condition,
    Consent,
    Counting,
    Element,
    FollowUp,
    Form,
    Kind,
    Level,
    Need,
    Profile,
    ProposalRule,
    Request,
    Term,
)
from hazardreport.addressees.profile_file import read_profile
from hazardreport.errors import ProfileRefusedError, UnknownProfileError
from hazardreport.resources_dir import RESOURCES

__all__ = [
    "Clause",
    "ClauseStatus",
    "Condition",
    "Consent",
    "Counting",
    "Element",
    "FollowUp",
    "Form",
    "Kind",
    "Level",
    "Need",
    "Profile",
    "ProposalRule",
    "Request",
    "Term",
    "profile",
    "profile_keys",
]

PROFILES = RESOURCES / "profiles"


def _files() -> dict[str, Path]:
    return {path.stem: path for path in sorted(PROFILES.glob("*/*.toml"))}


def profile_keys() -> tuple[str, ...]:
    """Keys of all addressees, sorted."""
    return tuple(sorted(_files()))


@cache
def profile(key: str) -> Profile:
    """The addressee of that key.

    Raises
    ------
    UnknownProfileError
        If no profile has that key.
    ProfileRefusedError
        If its file leaves out a source, a status or a sentence, or says something that nobody reads.
    """
    files = _files()
    if key not in files:
        raise UnknownProfileError(profile=key, known=", ".join(sorted(files)))
    path = files[key]
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise ProfileRefusedError(profile=key, place="", reason=str(error)) from error
    return read_profile(key, path.parent.name, data)
