"""All readings of a case as numbers, with the remarks that concern them together: proofs, device, earth."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, Reading, TrippingDevice
from hazardreport.readings.checks import roles
from hazardreport.readings.number import read_number
from hazardreport.readings.planned import role_words
from hazardreport.readings.result import Problem, Purpose, ReadingResult

PROOFS = (
    (PointRole.LINE, PointRole.NEUTRAL),
    (PointRole.LINE, PointRole.EARTH),
    (PointRole.NEUTRAL, PointRole.EARTH),
)
"""Pairs of the supply that are read under a low-impedance load before and after."""


def read_numbers(case: Case) -> tuple[ReadingResult, ...]:
    """Every reading as a number, in the order of the case; a remark on live readings together stands at the first.

    Parameters
    ----------
    case : Case
        With its readings.

    Returns
    -------
    tuple of ReadingResult
        One for each reading.
    """
    results = [read_number(reading, case) for reading in case.readings]
    for place, problem in _remarks(case, results):
        results[place] = replace(results[place], problems=(*results[place].problems, problem))
    return tuple(results)


def _remarks(case: Case, results: list[ReadingResult]) -> Iterator[tuple[int, Problem]]:
    live = [
        place
        for place, (reading, result) in enumerate(zip(case.readings, results, strict=True))
        if _live(reading, result) and not result.refused
    ]
    proved = [place for place in live if case.readings[place].proved]
    if proved:
        words = missing_proofs(case, results)
        if words:
            yield proved[0], ("proofs_not_noted", (("missing", words),))
    unnoted = [place for place in live if case.readings[place].device is TrippingDevice.NOT_NOTED]
    if unnoted:
        yield unnoted[0], ("device_not_noted", (("count", str(len(unnoted))),))
    for place in live:
        letters = (case.readings[place].first, case.readings[place].second)
        points = [point for letter in letters if (point := case.point(letter)) is not None]
        unnamed = [point for point in points if point.role is PointRole.EARTH and not point.description.strip()]
        if unnamed:
            yield place, ("earth_not_named", (("letter", unnamed[0].letter),))
            return


def _live(reading: Reading, result: ReadingResult) -> bool:
    return (
        result.purpose is Purpose.UNIT
        and reading.state.plug is not PlugPosition.UNPLUGGED
        and reading.quantity is not Quantity.RESISTANCE
    )


def missing_proofs(case: Case, results: Sequence[ReadingResult]) -> str:
    """The pairs of the socket between which no proof reading is in the case, in words; "" if none lacks."""
    return wording.sentence("tests.pairs.join").join(
        wording.sentence("tests.pairs.pair", first=role_words(first, case), second=role_words(second, case))
        for first, second in _missing_pairs(case, results)
    )


def _missing_pairs(case: Case, results: Sequence[ReadingResult]) -> list[tuple[PointRole, PointRole]]:
    read = [
        set(roles(reading, case))
        for reading, result in zip(case.readings, results, strict=True)
        if result.purpose is Purpose.SUPPLY and result.used
    ]
    return [pair for pair in PROOFS if set(pair) not in read]
