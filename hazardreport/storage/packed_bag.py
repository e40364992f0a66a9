"""The bag in a zip file: which members are its tag files, which the files of the case, what belongs to neither."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from hazardreport.case.case import Case
from hazardreport.errors import Fault
from hazardreport.storage import layout
from hazardreport.storage.bag import BAGIT, DATA, FETCH
from hazardreport.storage.faults import fault
from hazardreport.storage.pack_names import case_path_fault, clashes, path_fault
from hazardreport.storage.zip_reader import Member

_OF_THE_SYSTEM = "__MACOSX/"
_LIKE_A_BAG = re.compile(r"((?:[^/]+/)?)(?:data/.|bag-info\.txt$|(?:tag)?manifest-[a-z0-9]+\.txt$)")


@dataclass(frozen=True, kw_only=True, slots=True)
class PackedBag:
    """Members of a zip file by what they are.

    root      name of the folder that holds the bag, with "/" at its end; "" if the bag is not in a folder
    tags      tag files by name
    payload   files of the case by their path in its folder
    left_out  members that are no part of the bag
    faults    names that are not taken, and why there is no bag
    """

    root: str
    tags: Mapping[str, Member]
    payload: Mapping[str, Member]
    left_out: tuple[Member, ...]
    faults: tuple[Fault, ...]


def packed_bag(members: Sequence[Member]) -> PackedBag:
    """The bag in these members."""
    faults = [
        fault(member.name, found)
        for member in members
        if (found := path_fault(member.name[:-1] if member.is_folder else member.name))
    ]
    contents = [member for member in members if not member.is_folder]
    faults += clashes(member.name for member in contents)
    roots = _roots(contents)
    if len(roots) != 1:
        faults.append(fault("", "bag_none" if not roots else "bag_several", count=len(roots)))
    root = roots[0] if roots else _guessed_root(contents)
    tags: dict[str, Member] = {}
    payload: dict[str, Member] = {}
    left_out: list[Member] = []
    for member in contents:
        name = member.name.removeprefix(root)
        if not member.name.startswith(root) or ("/" in name and not name.startswith(DATA)):
            left_out.append(member)
            if not member.name.startswith(_OF_THE_SYSTEM):
                faults.append(fault(member.name, "bag_outside"))
        elif name.startswith(DATA):
            path = name.removeprefix(DATA)
            payload.setdefault(path, member)
            if not path_fault(member.name) and (found := case_path_fault(path)):
                faults.append(fault(member.name, found))
        else:
            tags.setdefault(name, member)
    if FETCH in tags:
        faults.append(fault(tags[FETCH].name, "bag_fetch"))
    if roots and layout.CASE not in payload:
        faults.append(fault(f"{root}{DATA}{layout.CASE}", "bag_no_case"))
    return PackedBag(root=root, tags=tags, payload=payload, left_out=tuple(left_out), faults=tuple(faults))


def _roots(contents: Iterable[Member]) -> list[str]:
    """Folders that hold a bagit.txt, at most one level deep."""
    found = []
    for member in contents:
        folder, slash, name = member.name.rpartition("/")
        if name == BAGIT and "/" not in folder:
            found.append(folder + slash)
    return found


def _guessed_root(contents: Iterable[Member]) -> str:
    """The folder that looks like a bag without its bagit.txt; "" if none does."""
    found = (_LIKE_A_BAG.match(member.name) for member in contents)
    return next((one[1] for one in found if one), "")


def manifest_faults(hashes: Mapping[str, str], payload: Iterable[str], name: str) -> list[Fault]:
    """Where a payload manifest and the files in data/ do not name the same files."""
    present = {DATA + path for path in payload}
    outside = [path for path in hashes if not path.startswith(DATA)]
    faults = [fault(path, "manifest_outside", manifest=name) for path in outside]
    faults += [fault(path, "file_missing", manifest=name) for path in hashes if path not in present | set(outside)]
    return faults + [fault(path, "file_not_listed", manifest=name) for path in sorted(present - set(hashes))]


def record_faults(case: Case, hashes: Mapping[str, str]) -> list[Fault]:
    """Pictures and attachments of the record that are not among the files, or are there with another hash."""
    named = [(f"{layout.PICTURES}/{one.file}", one.sha256) for one in case.pictures]
    named += [(f"{layout.ATTACHMENTS}/{one.file}", one.sha256) for one in case.attachments]
    return [
        fault(path, "record_names_missing" if path not in hashes else "record_disagrees")
        for path, sha256 in named
        if hashes.get(path) != sha256
    ]
