"""Every state and exposure has a name in the figures."""

from itertools import product

from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.naming import exposure_words, state_words
from hazardreport.severity.terms import BodyPath, Skin


def test_every_state_has_its_own_name() -> None:
    states = [
        UnitState(plug=plug, switch=switch, earthed=earthed)
        for plug, switch, earthed in product(PlugPosition, SwitchPosition, (False, True))
    ]
    assert len({state_words(state) for state in states}) == len(states)


def test_every_exposure_has_its_own_name() -> None:
    names = {exposure_words(skin, path) for skin, path in product(Skin, BodyPath)}
    assert len(names) == len(Skin) * len(BodyPath)
    assert "dry, hand to hand" in names
