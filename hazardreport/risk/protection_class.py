"""Class of protection against electric shock, reasoned from what was seen: which class the evidence fits.

Never a claim of non-conformity: where nothing shows a class, no class is evident, and that is all that is said.
"""

from dataclasses import dataclass

from hazardreport.quantity.trace import Source


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassReason:
    """One thing that was seen, and the classes that it fits.

    text   for people; fits: classes among "0", "0I", "I", "II", "III"
    link   where it stands in the case: "wiring.cord_cores", "unit.protection_class", "requirements.double-square"
    mark   a mark or statement of the maker, not something in the construction
    """

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
    neither        two-core cord, touchable metal, no mark of class II: neither class I nor class II is evident
    caution        what must be kept in mind where the unit may belong to the United States; "" elsewhere
    sources        of the classes, and of the caution
    """

    evident: str = ""
    fits: tuple[str, ...] = ()
    sentence: str = ""
    neither: bool = False
    reasons: tuple[ClassReason, ...] = ()
    contradictions: tuple[ClassContradiction, ...] = ()
    caution: str = ""
    sources: tuple[Source, ...] = ()
