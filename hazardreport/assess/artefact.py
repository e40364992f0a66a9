"""Why the finding is, or is not, a meter artefact: one argument for each kind of evidence that the readings hold."""

import math

from hazardreport import wording
from hazardreport.assess.agreement import listed
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import LiveReading, by_insulation_tester, role
from hazardreport.assess.records import ArtefactArgument, Fit, RouteKind, SourceRoute
from hazardreport.assess.routes import of_state, state_name, where
from hazardreport.assess.solved import LEAKAGE
from hazardreport.assess.source import SourceAt, method, unit_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity
from hazardreport.quantity.formatting import format_chi_square, format_value
from hazardreport.quantity.typed import Bound
from hazardreport.readings.all_readings import missing_proofs
from hazardreport.readings.result import ReadingResult

LAWFUL_CAPACITANCE = 4.7e-9
HOLDS = 0.5


def _argument(key: str, supports: bool | None, readings: tuple[str, ...], **fields: object) -> ArtefactArgument:
    return ArtefactArgument(
        text=wording.sentence(f"assess.artefact.{key}", **fields), supports=supports, readings=readings
    )


def capacitor_current(ledger: Ledger, case: Case, supply_id: str) -> str:
    """Write down the current that a lawful interference capacitor would give at this supply."""
    frequency = case.wiring.frequency or 0.0
    entered = ledger.enter("supply.frequency", "frequency", "f", frequency, "Hz", equation="as stated")
    lawful = ledger.enter(
        "artefact.CY",
        "lawful_capacitance",
        "CY",
        LAWFUL_CAPACITANCE,
        "F",
        equation="choice",
        sources=method("interference capacitor"),
    )
    return ledger.enter(
        "artefact.capacitor",
        "capacitor_current",
        "IY",
        2.0 * math.pi * frequency * LAWFUL_CAPACITANCE * ledger.value(supply_id),
        "A",
        equation=f"2·π·f · CY · U; {where(ledger, ('U',), (supply_id,))}".rstrip("; "),
        inputs=(supply_id, entered, lawful),
        sources=method("interference capacitor"),
    )


def arguments(
    ledger: Ledger,
    case: Case,
    results: tuple[ReadingResult, ...],
    live: tuple[LiveReading, ...],
    routes: tuple[SourceRoute, ...],
    fit: Fit | None,
    headline: SourceAt | None,
    supply_id: str,
) -> tuple[ArtefactArgument, ...]:
    """All arguments that the readings allow, those that support the finding first."""
    found: list[ArtefactArgument] = []
    left_out = fit.left_out if fit is not None else ()
    fitting = tuple(item for item in live if item.reading.id not in left_out)
    for state in unit_states(case.wiring, earthed=False):
        here = of_state(case, fitting, state)
        light = next((item for item in here if not item.loaded), None)
        for heavy in (item for item in here if item.loaded and light is not None and light.value > 1.0):
            share = heavy.value / light.value if light else 0.0
            found.append(
                _argument(
                    "loaded" if share > HOLDS else "collapses",
                    True if share > HOLDS else None,
                    (light.reading.id if light else "", heavy.reading.id),
                    state=state_name(state),
                    share=f"{100 * share:.0f}",
                    load=format_value(heavy.resistance, "ohm"),
                    voltage=format_value(heavy.value, "V"),
                )
            )
    found += [
        _argument("lamp", True, route.readings, current=format_value(ledger.value(route.available_fault_current), "A"))
        for route in routes
        if route.kind is RouteKind.LAMP
    ]
    dead = _dead_readings(case, results)
    if dead:
        found.append(_argument("dead", True, dead))
    found += _fit_says(live, fit, dead)
    if headline is not None and headline.established and case.wiring.frequency:
        lawful = ledger.value(capacitor_current(ledger, case, supply_id))
        available = ledger.value(headline.current_id)
        more = available > 2.0 * lawful
        found.append(
            _argument(
                "capacitor" if more else "like_capacitor",
                more or None,
                (),
                lawful=format_value(lawful, "A", 2),
                available=format_value(available, "A"),
                times=f"{float(f'{available / lawful:.2g}'):g}" if lawful else "",
            )
        )
    found += _proved(case, results, live)
    return tuple(sorted(found, key=lambda item: {True: 0, None: 1, False: 2}[item.supports]))


def _fit_says(live: tuple[LiveReading, ...], fit: Fit | None, dead: tuple[str, ...]) -> tuple[ArtefactArgument, ...]:
    """Whether all readings agree with one circuit; a reading left out as not fitting leaves that undecided."""
    if fit is None:
        return ()
    fitted = tuple(residual.reading for residual in fit.residuals)
    loaded = any(item.loaded for item in live)
    if fit.explanation == LEAKAGE:
        return (_argument("leakage" if loaded else "leakage_unloaded", False if loaded else None, fitted),)
    if fit.consistent is None:
        return ()
    both = bool(dead) and any(item.reading.id in fitted for item in live)
    key = "contradiction" if not fit.consistent else "one_story" if both else "one_story_alone"
    key = "without" if fit.consistent and fit.left_out else key
    decides = (bool(dead) or loaded) and not fit.left_out
    return (
        _argument(
            key,
            fit.consistent if decides or not fit.consistent else None,
            (*fitted, *fit.left_out),
            count=len(fitted),
            chi_square=format_chi_square(fit.chi_square),
            freedom=fit.degrees_of_freedom,
            left_out=listed(fit.left_out),
        ),
    )


def _proved(
    case: Case, results: tuple[ReadingResult, ...], live: tuple[LiveReading, ...]
) -> tuple[ArtefactArgument, ...]:
    """Whether the meter was proved: a fact where the readings of the proof are in the case, else somebody's note."""
    if not live:
        return ()
    unproved = tuple(item.reading.id for item in live if not item.reading.proved)
    if unproved:
        return (_argument("unproved", None, unproved),)
    readings = tuple(item.reading.id for item in live)
    missing = missing_proofs(case, results)
    if not missing:
        return (_argument("proved", True, readings),)
    return (_argument("proved_noted", None, readings, missing=missing),)


def _dead_readings(case: Case, results: tuple[ReadingResult, ...]) -> tuple[str, ...]:
    """Finite resistances from a supply pin to the touchable part with the plug out."""
    found = []
    for reading, result in zip(case.readings, results, strict=True):
        roles = {role(case, reading.first), role(case, reading.second)}
        pin_to_part = PointRole.TOUCHABLE_PART in roles and bool(roles & {PointRole.PIN_1, PointRole.PIN_2})
        finite = result.used and result.bound is Bound.NONE and result.value is not None
        unplugged = reading.quantity is Quantity.RESISTANCE and reading.state.plug is PlugPosition.UNPLUGGED
        if pin_to_part and finite and unplugged and not by_insulation_tester(case, reading):
            found.append(reading.id)
    return tuple(found)
