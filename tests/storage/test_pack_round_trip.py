"""Any case comes back from its pack as it was: every field of every record, every byte of every file."""

import os
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.errors import AnchorDisagreesError
from hazardreport.review.integrity import FileState, check_folder
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage import files
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.pack import pack_case
from hazardreport.storage.unpack import unpack
from tests.storage.generated_cases import records

CASES = records(Case)


def with_files(case: Case, contents: list[bytes]) -> tuple[Case, dict[str, bytes]]:
    """The case with a file behind each picture and attachment, and those files by path."""
    held: dict[str, bytes] = {}

    def filed(record: object, folder: str, number: int) -> dict[str, object]:
        data = contents[len(held) % len(contents)]
        name = f"file-{number}.bin"
        held[f"{folder}/{name}"] = data
        return {"file": name, "sha256": files.digest(data), "size": len(data)}

    pictures = tuple(replace(one, **filed(one, "pictures", n)) for n, one in enumerate(case.pictures))
    attachments = tuple(replace(one, **filed(one, "attachments", n)) for n, one in enumerate(case.attachments))
    return replace(case, pictures=pictures, attachments=attachments), held


@pytest.mark.parametrize("examples", [pytest.param(8, id="few"), pytest.param(100, id="many", marks=pytest.mark.slow)])
def test_any_case_comes_back_from_its_pack(tmp_path: Path, examples: int) -> None:
    @given(case=CASES, contents=st.lists(st.binary(max_size=3000), min_size=1, max_size=3))
    @settings(
        derandomize=True,
        deadline=None,
        max_examples=examples,
        suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    def holds(case: Case, contents: list[bytes]) -> None:
        place = tmp_path / os.urandom(8).hex()
        case, held = with_files(case, contents)
        first = create_case(place / "case", Case(id="first"))
        for path, data in held.items():
            (place / "case" / path).parent.mkdir(exist_ok=True)
            (place / "case" / path).write_bytes(data)
        saved = save_case(replace(case, revision=first.revision), place / "case")
        pack = pack_case(place / "case", place / "a.zip", created="2026-06-01T12:00:00Z").path

        back = unpack(pack, place / "back")

        assert back.remarks == ()
        opened = open_case(back.folder, for_writing=False)
        assert opened.case == saved
        assert opened.problems == ()
        assert {path: (back.folder / path).read_bytes() for path in held} == held
        for found in (check_pack(pack), check_folder(back.folder)):
            assert {file.state for file in found.files} == {FileState.WHOLE}
            assert found.whole or {type(one) for one in found.problems} == {AnchorDisagreesError}
        again = pack_case(back.folder, place / "b.zip", created="2026-06-01T12:00:00Z").path
        assert again.read_bytes() == pack.read_bytes()

    holds()
