"""Class of protection against electric shock, reasoned from what was seen: which class the evidence fits.

Never a claim of non-conformity: where nothing shows a class, no class is evident, and that is all that is said.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.picture import PointRole
from hazardreport.case.situation import Territory
from hazardreport.case.stated import Standing, Stated
from hazardreport.case.wiring import ProtectiveEarth, Supply
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.trace import Source, Status
from hazardreport.risk.requirements import CLASSES
from hazardreport.standards.tables import table

NO_EARTH = ("0", "II", "III")
BRITISH = frozenset({Territory.GREAT_BRITAIN, Territory.NORTHERN_IRELAND})
EUROPEAN = BRITISH | {Territory.EU}
NOT_SAID = frozenset({Territory.OPEN, Territory.UNKNOWN})
_STATED = re.compile(
    r"(?P<class>class\s+)?(?P<name>0I|0|III|II|I)(?:\s*[(;:,](?!\d).*|(?P<words>\s+(?!or\b|and\b|to\b|[-/&+\u2013]).*))?",
    re.IGNORECASE | re.DOTALL,
)
OF_CLASSES = Source(key="iec-61140", place="classes 0, I, II and III", status=Status.CONFIRMED)
OF_INFERENCE = Source(key="own-choices", place="class of protection", status=Status.CHOICE)
OF_DEFECT = Source(key="16-cfr-1115", place="1115.4(a)", status=Status.CONFIRMED)
OF_CODE = Source(key="nfpa-70", place="250.114", status=Status.FROM_MEMORY)


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassReason:
    """One thing that was seen, and the classes that it fits.

    fact   what was seen, as part of a sentence; text: the whole sentence
    fits   classes among "0", "0I", "I", "II", "III"
    link   where it stands in the case: "wiring.cord_cores", "unit.protection_class", "requirements.double-square"
    mark   a mark or statement of the maker, not something in the construction
    """

    fact: str
    text: str
    fits: tuple[str, ...]
    link: str
    mark: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassContradiction:
    """Two things that no class fits together; links to both."""

    text: str
    links: tuple[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassReasoning:
    """Which class of protection the evidence fits.

    evident        "0", "0I", "I", "II" or "III"; "" where none is evident
    fits           classes that everything seen fits; none where it contradicts itself
    sentence       for people
    neither        two wires, touchable metal, no mark of class II: neither class I nor class II is evident
    caution        what must be kept in mind where the unit may belong to the United States; "" elsewhere
    sources        of the classes, of our inference, and of the caution
    """

    evident: str = ""
    fits: tuple[str, ...] = ()
    sentence: str = ""
    neither: bool = False
    reasons: tuple[ClassReason, ...] = ()
    contradictions: tuple[ClassContradiction, ...] = ()
    caution: str = ""
    sources: tuple[Source, ...] = ()


def stated_class(stated: Stated) -> str:
    """The class that the plate is said to name: "0", "0I", "I", "II" or "III"; "" if it names none, or several.

    A lone "I" or "0" that words follow may be the beginning of a sentence or a number, and names none.
    """
    if stated.standing is not Standing.VALUE:
        return ""
    named = _STATED.fullmatch(stated.text.strip())
    if named is None or (named["words"] and not named["class"] and named["name"].upper() in ("0", "I")):
        return ""
    return named["name"].upper()


def reasoned_class(case: Case) -> ClassReasoning:
    """Which class the wiring, the plate and the answers to the requirements fit, and what contradicts what.

    A class other than I is evident only by a mark; class I also by a provision for earth.

    References
    ----------
    iec-61140, classes 0, I, II and III.
    """
    marked_0i = stated_class(case.unit.protection_class) == "0I"
    allowed = tuple(name for name in CLASSES if name != "0I" or marked_0i)
    reasons = tuple(_reasons(case, allowed))
    contradictions = tuple(
        ClassContradiction(
            text=_capital(wording.sentence("protection_class.contradiction.of", first=one.fact, second=other.fact)),
            links=(one.link, other.link),
        )
        for one, other in combinations(reasons, 2)
        if not set(one.fits) & set(other.fits) or _answers_differ(one, other)
    )
    fits = tuple(name for name in allowed if all(name in reason.fits for reason in reasons))
    evident = "" if contradictions else _evident(fits, reasons)
    neither = not contradictions and not evident and _neither(case)
    caution = _caution(case)
    return ClassReasoning(
        evident=evident,
        fits=() if contradictions else fits,
        sentence=_sentence(case, evident, fits, reasons, bool(contradictions), neither),
        neither=neither,
        reasons=reasons,
        contradictions=contradictions,
        caution=caution,
        sources=(
            *((OF_CLASSES,) if reasons else ()),
            *(_low_voltage(case)[1] for reason in reasons if reason.link == "wiring.nominal_voltage"),
            *((OF_INFERENCE,) if neither else ()),
            *((OF_DEFECT, OF_CODE) if caution else ()),
        ),
    )


def _answers_differ(one: ClassReason, other: ClassReason) -> bool:
    """A double square was seen, and it was answered that wires and metal come together without one."""
    return {"requirements.double-square", "requirements.no-class-evident"} == {one.link, other.link} and (
        one.mark or other.mark
    )


def territories(case: Case) -> frozenset[Territory]:
    """Territories that the case names: where the submitter lives and where the unit was bought."""
    return frozenset({case.situation.residence, case.situation.bought_in}) - NOT_SAID


def _answer(case: Case, key: str) -> FindingAnswer | None:
    found = case.requirement(key)
    return found.answer if found else None


def _reasons(case: Case, allowed: tuple[str, ...]) -> Iterator[ClassReason]:
    for name, link, fits, mark, fields in _facts(case):
        fact = wording.sentence(f"protection_class.fact.{name}", **fields)
        left = tuple(item for item in allowed if item in fits)
        key = "fits_all" if left == allowed else "fits"
        text = wording.sentence(f"protection_class.reason.{key}", fact=fact, classes=_listed(left))
        yield ClassReason(fact=fact, text=_capital(text), fits=left, link=link, mark=mark)


_Fact = tuple[str, str, tuple[str, ...], bool, dict[str, str]]
"""Key of the wording, link, classes that it fits, whether it is a mark, fields."""

ANSWERS: tuple[tuple[str, FindingAnswer, str, tuple[str, ...], bool], ...] = (
    ("double-square", FindingAnswer.SEEN, "double_square", ("II",), True),
    ("double-square", FindingAnswer.NOT_SEEN, "no_double_square", CLASSES, False),
    ("class-three-mark", FindingAnswer.SEEN, "three_mark", ("III",), True),
    ("class-three-mark", FindingAnswer.NOT_SEEN, "no_three_mark", CLASSES, False),
    ("class-0-marked", FindingAnswer.SEEN, "class_0", ("0",), True),
    ("earth-wire-in-cord", FindingAnswer.SEEN, "three_wires", ("I",), False),
    ("earth-wire-in-cord", FindingAnswer.NOT_SEEN, "two_wires", (*NO_EARTH, "0I"), False),
    ("touchable-metal", FindingAnswer.SEEN, "touchable_metal", CLASSES, False),
    ("no-class-evident", FindingAnswer.SEEN, "together", (*NO_EARTH, "0I"), False),
)
"""Requirement, answer, key of the wording, classes that it fits, whether it is a mark.

A mark that was not found may be worn off or elsewhere: its absence rules no class out.
"""


def _facts(case: Case) -> Iterator[_Fact]:
    stated = stated_class(case.unit.protection_class)
    if stated:
        yield "plate", "unit.protection_class", (stated,), True, {"class": stated}
    yield from _wiring_facts(case)
    for key, answer, name, fits, mark in ANSWERS:
        if _answer(case, key) is answer:
            yield name, f"requirements.{key}", fits, mark, {}
    if not territories(case) & BRITISH:
        contact = _answer(case, "earth-contact")
        if contact is FindingAnswer.SEEN:
            yield "earth_contact", "requirements.earth-contact", ("I",), False, {}
        if contact is FindingAnswer.NOT_SEEN:
            yield "no_earth_contact", "requirements.earth-contact", (*NO_EARTH, "0I"), False, {}
    letter = _touchable_point(case)
    if letter and _answer(case, "touchable-metal") is None:
        yield "touchable_point", f"points.{letter}", CLASSES, False, {"letter": letter}


def _wiring_facts(case: Case) -> Iterator[_Fact]:
    wiring = case.wiring
    if wiring.cord_cores == 2:
        yield "two_wires", "wiring.cord_cores", (*NO_EARTH, "0I"), False, {}
    if wiring.cord_cores == 3:
        yield "three_wires", "wiring.cord_cores", ("I",), False, {}
    earth = {
        ProtectiveEarth.NONE: ("earth_none", NO_EARTH),
        ProtectiveEarth.OPEN: ("earth_interrupted", ("0I", "I")),
        ProtectiveEarth.CONNECTED: ("earth_connected", ("0I", "I")),
    }.get(wiring.protective_earth)
    if earth:
        yield earth[0], "wiring.protective_earth", earth[1], False, {}
    limit, _ = _low_voltage(case)
    voltage = wiring.nominal_voltage
    if voltage is not None and voltage > limit:
        fields = {"voltage": format_value(voltage, "V"), "limit": f"{limit:g} V"}
        yield "supply", "wiring.nominal_voltage", ("0", "0I", "I", "II"), False, fields


def _low_voltage(case: Case) -> tuple[float, Source]:
    """Highest voltage of a supply that class III can run on [V], and where that comes from."""
    current = "direct" if case.wiring.supply is Supply.DIRECT_CURRENT else "alternating"
    held = table("iec-61140", "extra-low-voltage")
    return held.look_up("voltage", current=current), held.source("voltage", current=current)


def _evident(fits: tuple[str, ...], reasons: tuple[ClassReason, ...]) -> str:
    for name in fits:
        if any(reason.fits == (name,) for reason in reasons if reason.mark):
            return name
    earthed = any(set(reason.fits) <= {"0I", "I"} for reason in reasons)
    return "I" if earthed and "I" in fits else ""


def _neither(case: Case) -> bool:
    two_wires = case.wiring.cord_cores == 2 or _answer(case, "earth-wire-in-cord") is FindingAnswer.NOT_SEEN
    metal = _answer(case, "touchable-metal")
    touched = metal is FindingAnswer.SEEN or (metal is None and bool(_touchable_point(case)))
    unmarked = _answer(case, "double-square") is FindingAnswer.NOT_SEEN
    together = _answer(case, "no-class-evident") is FindingAnswer.SEEN
    return together or (two_wires and touched and unmarked)


def _touchable_point(case: Case) -> str:
    return next((point.letter for point in case.points if point.role is PointRole.TOUCHABLE_PART), "")


def _caution(case: Case) -> str:
    """The caution of the United States, wherever two wires or pins are noted and that country is not left out."""
    named = territories(case)
    two = (
        case.wiring.cord_cores == 2
        or _answer(case, "two-pin-plug") is FindingAnswer.SEEN
        or FindingAnswer.NOT_SEEN in (_answer(case, "earth-wire-in-cord"), _answer(case, "earth-contact"))
    )
    concerned = not named or Territory.UNITED_STATES in named
    return wording.sentence("protection_class.caution.united_states") if two and concerned else ""


def _sentence(
    case: Case,
    evident: str,
    fits: tuple[str, ...],
    reasons: tuple[ClassReason, ...],
    contradicted: bool,
    neither: bool,
) -> str:
    if contradicted:
        return wording.sentence("protection_class.sentence.contradicted")
    if evident:
        built = any(reason.fits != (evident,) or not reason.mark for reason in reasons if _tells(reason))
        interrupted = evident == "I" and case.wiring.protective_earth is ProtectiveEarth.OPEN
        key = "interrupted" if interrupted else "evident" if built else "marked"
        return wording.sentence(f"protection_class.sentence.{key}", **{"class": evident})
    if neither:
        in_europe = bool(territories(case) & EUROPEAN)
        low = "III" in fits and _answer(case, "class-three-mark") is not FindingAnswer.NOT_SEEN
        name = "neither_but_low_voltage" if low else "neither_europe" if in_europe else "neither"
        return wording.sentence(f"protection_class.sentence.{name}")
    if not any(_tells(reason) for reason in reasons):
        return wording.sentence("protection_class.sentence.open")
    return wording.sentence("protection_class.sentence.several", classes=_listed(fits))


def _tells(reason: ClassReason) -> bool:
    """Whether a reason is about the unit's protection; its supply and its metal fit nearly every class."""
    return reason.link != "wiring.nominal_voltage" and len(reason.fits) < len(CLASSES) - 1


def _listed(classes: tuple[str, ...]) -> str:
    if len(classes) == 1:
        return wording.sentence("protection_class.classes.one", **{"class": classes[0]})
    first = ", ".join(classes[:-1])
    return wording.sentence("protection_class.classes.several", first=first, last=classes[-1] if classes else "")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
