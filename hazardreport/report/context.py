"""What every part of the report is built from, and the phrases that several parts share."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from hazardreport.addressees.addressed import addressed, hiding, names_allowed, renamed, stand_ins, withheld_name
from hazardreport.addressees.profiles import Clause, ClauseStatus, Profile
from hazardreport.assess.records import Assessment, Basis, DeviceVerdict, Exposure
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.stated import Standing, Stated
from hazardreport.case.unit_state import UnitState
from hazardreport.evidence.custody_order import Remark, custody_remarks
from hazardreport.quantity.formatting import format_number, format_value
from hazardreport.quantity.trace import Number, Source, Status
from hazardreport.report.document import Paragraph, Reference, Runs, text_width
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.wording import sentence

MEMORY_MARK = "\u2020"


@dataclass(frozen=True, kw_only=True, slots=True)
class RevisionLine:
    """One line of the log of a case, as a report shows it.

    time     ISO 8601 UTC
    author   "" if nobody is named
    changed  in one line
    fields   the same without what the texts say, for addressees who see no names; "" if that is not told
    hash     of the line in the log, hexadecimal
    """

    revision: int
    time: str
    author: str
    changed: str
    hash: str
    fields: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Context:
    """Case, its assessment, its addressee, and when the report is made.

    log      recent revisions, in order
    custody  remarks on the keeping of the evidence, with the names that this addressee may see
    names_left_out  the addressee sees no names and no contact; words that tell them are replaced
    numbers  of the trace by id
    withheld why a picture is not shown, by its id
    memory   ids of numbers that rest, at any depth, on a value from memory
    """

    case: Case
    assessment: Assessment
    profile: Profile
    created: str
    paper: str
    numbers: dict[str, Number] = field(repr=False)
    memory: frozenset[str] = field(repr=False)
    withheld: Mapping[str, str] = field(default_factory=dict)
    log: tuple[RevisionLine, ...] = ()
    custody: tuple[Remark, ...] = ()
    names_left_out: bool = False

    @property
    def width(self) -> float:
        """Width of the text. [mm]"""
        return text_width(self.paper)

    @property
    def why_missing(self) -> str:
        """Why a result is not there: the verdict's reason if it has no state, else that the readings do not fix it."""
        verdict = self.assessment.verdict
        return verdict.reason if verdict.headline is None else sentence("report.words.not_fixed")

    def number(self, id: str) -> Number | None:
        """A number of the trace; None for the empty id of something not determined."""
        return self.numbers.get(id)

    def runs(self, id: str, marked: bool = True) -> Runs:
        """A number as text that leads to its worked calculation; what is not determined says so."""
        number = self.number(id)
        if number is None:
            return (sentence("report.words.not_determined"),)
        mark = MEMORY_MARK if marked and id in self.memory else ""
        return (Reference(target=number_anchor(id), text=format_number(number) + mark, quiet=True),)

    def computed(self, id: str) -> Runs:
        """A number to three digits that leads to its calculation: for those computed without doubt of their own."""
        number = self.number(id)
        if number is None:
            return (sentence("report.words.not_determined"),)
        mark = MEMORY_MARK if id in self.memory else ""
        text = format_value(number.measured.value, number.measured.unit) + mark
        return (Reference(target=number_anchor(id), text=text, quiet=True),)

    def text(self, id: str) -> str:
        """A number as plain text."""
        number = self.number(id)
        return sentence("report.words.not_determined") if number is None else format_number(number)


def context(
    case: Case,
    assessment: Assessment,
    profile: Profile,
    created: str,
    paper: str,
    withheld: Mapping[str, str] | None = None,
    log: tuple[RevisionLine, ...] = (),
) -> Context:
    """The context of one report."""
    allowed, hide = names_allowed(case, profile), hiding(case, profile)
    names = {} if allowed else stand_ins(case)
    memory: set[str] = set()
    for number in assessment.trace:
        if number.status is Status.FROM_MEMORY or any(key in memory for key in number.inputs):
            memory.add(number.id)
    return Context(
        case=addressed(case, profile),
        assessment=assessment if allowed else _told_less(assessment, hide),
        profile=profile,
        created=created,
        paper=paper,
        numbers={number.id: number for number in assessment.trace},
        memory=frozenset(memory),
        withheld=withheld or {},
        log=log
        if allowed
        else tuple(replace(line, author=withheld_name(line.author), changed=line.fields) for line in log),
        custody=tuple(renamed(remark, names, hide) for remark in custody_remarks(case)),
        names_left_out=not allowed,
    )


def _told_less(assessment: Assessment, hide: Callable[[str], str]) -> Assessment:
    """The assessment with the texts that it repeats from the case as the addressee may see them."""
    factors = tuple(replace(factor, text=hide(factor.text)) for factor in assessment.risk.factors)

    def devices(those: tuple[DeviceVerdict, ...]) -> tuple[DeviceVerdict, ...]:
        return tuple(replace(one, device=hide(one.device)) for one in those)

    return replace(
        assessment,
        devices=devices(assessment.devices),
        as_built=tuple(replace(one, devices=devices(one.devices)) for one in assessment.as_built),
        second_part=tuple(replace(one, name=hide(one.name)) for one in assessment.second_part),
        risk=replace(assessment.risk, factors=factors),
    )


def number_anchor(id: str) -> str:
    """Anchor of a worked calculation."""
    return f"number-{id}"


def reading_anchor(id: str) -> str:
    """Anchor of a row of the measurements."""
    return f"reading-{id}"


def picture_anchor(id: str) -> str:
    """Anchor of a picture's row in the evidence."""
    return f"picture-{id}"


def reference_anchor(key: str) -> str:
    """Anchor of a document in the bibliography."""
    return f"reference-{key}"


def joined(pieces: Iterable[Runs], separator: str = ", ") -> Runs:
    """Several run lists as one."""
    result: list[str | Reference] = []
    for piece in pieces:
        if result and piece:
            result.append(separator)
        result.extend(piece)
    return tuple(result)


def plug_and_switch(state: UnitState) -> str:
    """A state in words where the protective earth goes without saying: "plug reversed, switch off"."""
    words = sentence(
        "report.words.plug_and_switch",
        plug=sentence(f"report.plug.{state.plug.name.lower()}"),
        switch=sentence(f"report.switch.{state.switch.name.lower()}"),
    )
    return f"{words}, {sentence('report.words.cut_out_open')}" if state.cut_out_open else words


def state_text(state: UnitState) -> str:
    """A state in words: "plug reversed, switch off, no protective earth"."""
    earth = "earthed" if state.earthed else "not_earthed"
    return f"{plug_and_switch(state)}, {sentence(f'report.earth.{earth}')}"


def basis_text(basis: Basis) -> str:
    """How a number is known, in words."""
    return sentence(f"report.basis.{basis.name.lower()}")


def basis_texts(basis: Basis) -> tuple[str, str]:
    """How the open-circuit voltage of a state is known, and how the currents are."""
    both = basis is Basis.VOLTAGE_MEASURED
    return (basis_text(Basis.MEASURED), basis_text(Basis.PREDICTED)) if both else (basis_text(basis), basis_text(basis))


def answer_text(answer: Answer) -> str:
    """An answer in words; an open one says that nobody answered."""
    return sentence(f"report.answer.{answer.name.lower()}")


def stated_runs(stated: Stated) -> Runs:
    """A field as value, or unknown because …, or not applicable because …, or withheld, or not answered."""
    if not stated.answered:
        return (sentence("report.words.open"),)
    if stated.standing is Standing.VALUE:
        return (stated.text,)
    if stated.reason == sentence("report.words.withheld"):
        return (stated.reason,)
    key = "report.words.unknown" if stated.standing is Standing.UNKNOWN else "report.words.not_applicable"
    return (sentence(key, reason=stated.reason),)


def clause_runs(clauses: Iterable[Clause], unmarked: Collection[ClauseStatus] = ()) -> Runs:
    """Clauses, each leading to the bibliography, with how it was checked unless that is among the unmarked ones."""
    pieces: list[Runs] = []
    for clause in clauses:
        name = sentence(f"profiles.law_names.{clause.reference}", place=clause.place)
        link = Reference(target=reference_anchor(clause.reference), text=name)
        if clause.status in unmarked:
            pieces.append((link,))
        else:
            pieces.append((link, f" ({sentence(f'profiles.clause_status.{clause.status}')})"))
    return joined(pieces, "; ")


def moment_text(moment: str) -> str:
    """A time as people write it: "2026-11-25 12:00 UTC"; text that is no ISO time as it stands."""
    try:
        read = datetime.fromisoformat(moment)
    except ValueError:
        return moment
    if read.utcoffset() is None:
        return read.strftime("%Y-%m-%d %H:%M") if "T" in moment else moment
    offset = "UTC" if not read.utcoffset() else f"UTC{read.strftime('%z')[:3]}:{read.strftime('%z')[3:5]}"
    return f"{read.strftime('%Y-%m-%d %H:%M')} {offset}"


def source_text(source: Source) -> str:
    """A source with its status: "iec-60479-1-2018, table 1 – confirmed"."""
    place = f", {source.place}" if source.place else ""
    return f"{source.key}{place} \u2013 {sentence(f'report.status.{source.status.name.lower()}')}"


def percent(share: float) -> str:
    """A probability in percent, two digits at most.

    Examples
    --------
    >>> percent(0.724), percent(0.9999), percent(0.001)
    ('72', '> 99', '< 1')
    """
    if share > 0.99:
        return "> 99"
    return "< 1" if share < 0.01 else format_value(100 * share, "1", 2)


def usual(exposure: Exposure) -> bool:
    """A large area of contact, and not an exposure that the case adds."""
    return exposure.area is ContactArea.LARGE and not exposure.own


def contact_text(path: BodyPath, skin: Skin) -> str:
    """A contact in words: "hand to hand, dry skin"."""
    return f"{sentence(f'report.path.{path.name.lower()}')}, {sentence(f'report.skin.{skin.name.lower()}')}"


def memory_note(context: Context, ids: Iterable[str]) -> str:
    """What the mark of values from memory means, where one of these numbers bears it; else ""."""
    return sentence("report.words.memory_note", mark=MEMORY_MARK) if set(ids) & context.memory else ""


def sources_paragraph(sources: Iterable[Source]) -> tuple[Paragraph, ...]:
    """The sources of a table, each once, in small letters; nothing where there is none."""
    runs = source_runs(dict.fromkeys(sources))
    return (Paragraph(runs=(sentence("report.words.sources"), *runs, "."), role="small"),) if runs else ()


def clauses_paragraph(clauses: Iterable[Clause]) -> Paragraph:
    """Clauses that a text rests on, in small letters."""
    return Paragraph(runs=(sentence("report.words.sources"), *clause_runs(clauses), "."), role="small")


def source_runs(sources: Iterable[Source]) -> Runs:
    """Sources with their status, each leading to the bibliography."""
    return joined(
        ((Reference(target=reference_anchor(source.key), text=source_text(source)),) for source in sources), "; "
    )
