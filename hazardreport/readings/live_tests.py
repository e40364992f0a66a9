"""Live tests of the plan: the supply's proof, then the part to earth by rising energy of the load."""

from collections.abc import Iterator

from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import CutOut, Load, LoadKind, Quantity, State
from hazardreport.readings.answers import Answers, LoadClass
from hazardreport.readings.dead_tests import thermostat_matters
from hazardreport.readings.plan_states import plan_states, second_part_apart
from hazardreport.readings.planned import PlannedTest

RESISTOR = 47e3

_PART, _SECOND, _EARTH = PointRole.TOUCHABLE_PART, PointRole.SECOND_PART, PointRole.EARTH
_PROOFS = (
    (PointRole.LINE, PointRole.NEUTRAL),
    (PointRole.LINE, PointRole.EARTH),
    (PointRole.NEUTRAL, PointRole.EARTH),
)
_LIVE = (
    "last_word",
    "competent_here",
    "second_person",
    "dead_tests_done",
    "device_tried",
    "meter_rated",
    "prove_meter",
    "clip_plug_out",
    "never_feel",
    "one_hand",
    "no_ammeter",
    "vessel_as_used",
)
_LOADED = (*_LIVE, "load_boxed")
_TRIPPING = (*_LOADED, "device_may_trip")
_LOADS = (
    ("live_meter", LoadClass.METER, Load(), _LIVE),
    ("live_resistor", LoadClass.RESISTOR, Load(kind=LoadKind.RESISTOR, resistance=RESISTOR), _LOADED),
    ("live_low_impedance", LoadClass.LOW, Load(), _TRIPPING),
    ("live_lamp", LoadClass.LAMP, Load(kind=LoadKind.LAMP), _TRIPPING),
)
_HIGHER = (LoadClass.LOW, LoadClass.LAMP)
CLASSES = ("supply_proof", *(key for key, *_ in _LOADS))
"""Keys of the live tests by class: gentlest first."""


def live_tests(case: Case, answers: Answers) -> Iterator[PlannedTest]:
    """Every live test of a unit, for whoever may see them; higher loads are never put to a second part."""
    for pair in _PROOFS:
        yield PlannedTest(
            id=f"supply_proof.{pair[0].name.lower()}.{pair[1].name.lower()}",
            key="supply_proof",
            live=True,
            roles=pair,
            quantity=Quantity.VOLTAGE,
            low_impedance=True,
            done=answers.supply_proved(pair),
            cautions=(*_LIVE, "device_may_trip"),
        )
    pairs = [(_PART, _EARTH)]
    if second_part_apart(case):
        pairs += [(_SECOND, _EARTH), (_PART, _SECOND)]
    for key, load_class, load, cautions in _LOADS:
        for pair in pairs[:1] if load_class in _HIGHER else pairs:
            for state in plan_states(case):
                yield PlannedTest(
                    id=f"{key}{_between(pair)}{_of_state(state)}",
                    key=key,
                    live=True,
                    state=state,
                    roles=pair,
                    quantity=Quantity.VOLTAGE,
                    load=load,
                    low_impedance=load_class is LoadClass.LOW,
                    done=answers.loaded(load_class, state, pair),
                    optional=load_class in _HIGHER,
                    cautions=(*cautions, "thermostat_set") if thermostat_matters(case, state) else cautions,
                )


def at_second_part(planned: PlannedTest) -> bool:
    """Whether a test is one of the second touchable part."""
    return _SECOND in planned.roles


def _between(pair: tuple[PointRole, PointRole]) -> str:
    return "" if pair == (_PART, _EARTH) else f".{pair[0].name.lower()}.{pair[1].name.lower()}"


def _of_state(state: State) -> str:
    opened = ".open" if state.cut_out is CutOut.OPEN else ""
    return f".{state.plug.value}.{state.switch.value}{opened}"
