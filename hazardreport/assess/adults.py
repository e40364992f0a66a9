"""How many adults would carry more than a threshold: population and measurement together, written down and in words."""

import math
import zlib
from collections.abc import Iterator

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Assessment, Exposure, PopulationResult
from hazardreport.assess.source import SourceAt
from hazardreport.assess.verdict import median_person, usual
from hazardreport.severity.population import Contact, exact_shares, population_shares, population_sources
from hazardreport.severity.terms import BodyPath, Skin

MEDIAN = 50
THRESHOLDS = ("perception", "let_go", "c1", "c2")


def shares(ledger: Ledger, assessment: Assessment, sources: tuple[SourceAt, ...]) -> Iterator[PopulationResult]:
    """Shares of adults for every exposure that a circumstance lets in, and for hand to both feet in the headline state.

    The same case gives the same trials: the seed follows from what is asked.
    """
    known = {source.state: source for source in sources}
    asked = [item for item in assessment.exposures if item.percentile == MEDIAN and usual(item) and item.plausible]
    headline = assessment.verdict.headline
    if headline is not None and not any(item.state == headline for item in asked):
        person = median_person(assessment.exposures, headline, BodyPath.HAND_TO_FEET)
        asked += [person] if person is not None else []
    for exposure in asked:
        source = known.get(exposure.state)
        if source is not None and source.voltage > 0.0 and all(map(math.isfinite, source.covariance)):
            yield _result(ledger, exposure, source)


def _result(ledger: Ledger, exposure: Exposure, source: SourceAt) -> PopulationResult:
    if exposure.body_voltage in ledger and source.other_nature is not None:
        source = (
            source.other_nature if source.other_nature.voltage_id in ledger[exposure.body_voltage].inputs else source
        )
    series = ledger.value(exposure.series_resistance) if exposure.series_resistance else 0.0
    contact = Contact(
        open_circuit_voltage=source.voltage,
        source_impedance=source.impedance,
        skin=exposure.skin,
        path=exposure.path,
        duration=ledger.value(exposure.duration),
        series_resistance=series,
    )
    key = f"{exposure.state.key}.{exposure.skin.name.lower()}.{exposure.path.name.lower()}"
    seed = zlib.crc32(key.encode())
    exact = not any(source.covariance)
    found = exact_shares(contact) if exact else population_shares(contact, source.covariance, seed)
    values = (found.above_perception, found.above_let_go, found.above_c1, found.above_c2)
    ids = [
        ledger.enter(
            f"population.{key}.{threshold}",
            f"population_{threshold}",
            "p",
            value,
            "1",
            uncertainty=found.tolerance / 2.0,
            equation=(
                "share of adults, exact by inversion"
                if exact
                else "share of adults in seeded trials over population and measurement"
            ),
            inputs=(
                source.voltage_id,
                source.impedance_id,
                exposure.duration,
                *((exposure.series_resistance,) if exposure.series_resistance else ()),
            ),
            sources=population_sources(exposure.skin),
            fields={"skin": exposure.skin.value, "path": exposure.path.value},
        )
        for threshold, value in zip(THRESHOLDS, values, strict=True)
    ]
    return PopulationResult(
        state=exposure.state,
        skin=exposure.skin,
        path=exposure.path,
        duration=exposure.duration,
        above_perception=ids[0],
        above_let_go=ids[1],
        above_c1=ids[2],
        above_c2=ids[3],
        sentence=_sentence(exposure.skin, exposure.path, values),
        trials=found.trials,
        tolerance=found.tolerance,
        seed=0 if exact else seed,
        plausible=exposure.plausible,
        sources=population_sources(exposure.skin),
    )


def _sentence(skin: Skin, path: BodyPath, values: tuple[float, float, float, float]) -> str:
    """The share above c2 in words, or above what is reached if that is next to none."""
    _, let_go, _, c2 = values
    threshold, value = ("c2", c2) if c2 >= FEW else ("let_go", let_go)
    return wording.sentence(f"assess.population.{threshold}", adults=in_words(value), skin=skin.value, path=path.value)


FEW = 0.005


def in_words(share: float) -> str:
    """A share of adults in at most two digits: "about 7 in 10 adults"."""
    if share < FEW:
        return wording.sentence("assess.population.words.few")
    if share > 1.0 - FEW:
        return wording.sentence("assess.population.words.nearly_all")
    base = 10 if 0.095 <= share < 0.945 else 100
    return wording.sentence("assess.population.words.about", count=round(base * share), base=base)
