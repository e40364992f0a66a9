"""The record as text: what is saved once and known is proved again as soon as it is another object."""

from dataclasses import fields, replace

import msgspec
import pytest

from hazardreport.case.case import Case
from hazardreport.case.wiring import Wiring
from hazardreport.storage.record_text import joined, proved


def wired(voltage: float | None) -> Case:
    return replace(Case(id="HR-1", title="Wax pot"), wiring=Wiring(nominal_voltage=voltage))


@pytest.mark.parametrize("never", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_json_cannot_write_is_refused_where_nothing_stood_before(never: float) -> None:
    assert proved(wired(None)) is not None
    assert proved(wired(never)) is None
    assert proved(wired(never)) is None


def test_a_case_is_read_back_equal_to_the_one_that_was_proved() -> None:
    for voltage in (None, 230.0, 5, None, 5, 5.0):
        found = proved(wired(voltage))
        assert found is not None
        again = msgspec.json.decode(joined(found[1]), type=Case)
        assert again == found[0] == wired(voltage)
        assert type(found[0].wiring.nominal_voltage) is (type(None) if voltage is None else float)


def test_fields_that_were_proved_stay_the_very_same_objects() -> None:
    first = proved(wired(230.0))
    assert first is not None
    second = proved(replace(first[0], title="Wax-melting pot"))
    assert second is not None
    for field in fields(Case):
        assert (getattr(second[0], field.name) is getattr(first[0], field.name)) is (field.name != "title")
