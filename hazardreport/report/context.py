"""What every part of the report is built from, and the phrases that several parts share."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from hazardreport.addressees.completeness import State, field_state
from hazardreport.addressees.profiles import Clause, ClauseStatus, Profile
from hazardreport.assess.records import Assessment, Basis, Exposure
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Submitter
from hazardreport.case.stated import Standing, Stated, not_applicable
from hazardreport.case.unit_state import UnitState
from hazardreport.evidence.custody_order import Remark, custody_remarks, same_name
from hazardreport.quantity.formatting import format_number, format_value
from hazardreport.quantity.trace import Number, Source, Status
from hazardreport.report.document import KeyValue, Paragraph, Reference, Runs, text_width
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.wording import sentence

MEMORY_MARK = "\u2020"


@dataclass(frozen=True, kw_only=True, slots=True)
class RevisionLine:
    """One line of the log of a case, as a report shows it.

    time     ISO 8601 UTC
    author   "" if nobody is named
    changed  in one line
    hash     of the line in the log, hexadecimal
    """

    revision: int
    time: str
    author: str
    changed: str
    hash: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Context:
    """Case, its assessment, its addressee, and when the report is made.

    log      recent revisions, in order
    custody  remarks on the keeping of the evidence, with the names that this addressee may see
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
    names = None if _names_allowed(case, profile) else _stand_ins(case)
    memory: set[str] = set()
    for number in assessment.trace:
        if number.status is Status.FROM_MEMORY or any(key in memory for key in number.inputs):
            memory.add(number.id)
    return Context(
        case=addressed(case, profile),
        assessment=assessment,
        profile=profile,
        created=created,
        paper=paper,
        numbers={number.id: number for number in assessment.trace},
        memory=frozenset(memory),
        withheld=withheld or {},
        log=tuple(replace(line, author=_withheld_name(line.author)) for line in log) if names is not None else log,
        custody=tuple(_renamed(remark, names or {}) for remark in custody_remarks(case)),
    )


def _names_allowed(case: Case, profile: Profile) -> bool:
    """Whether this addressee may see names and contact."""
    consent = profile.contact_consent
    return not consent or field_state(case, consent).state is State.PRESENT


def _withheld_name(name: str) -> str:
    return sentence("report.words.withheld_name") if name.strip() else name


def _stand_ins(case: Case) -> dict[str, str]:
    """For each name of the custody a stand-in, the same for the same person, so that the chain can be followed."""
    named = [name for transfer in case.transfers for name in (transfer.giver, transfer.taker)]
    named += [step.by for step in case.steps]
    found: dict[str, str] = {}
    for name in named:
        if name.strip() and name not in found:
            same = next((stand_in for other, stand_in in found.items() if same_name(name, other)), "")
            number = len(set(found.values())) + 1
            found[name] = same or sentence("report.words.withheld_person", number=number)
    return found


def _renamed(remark: Remark, names: Mapping[str, str]) -> Remark:
    return replace(remark, fields=tuple((key, names.get(text, text)) for key, text in remark.fields))


def addressed(case: Case, profile: Profile) -> Case:
    """The case as this addressee may see it: without names and contact where the consent for them was not given."""
    if _names_allowed(case, profile):
        return case
    names = _stand_ins(case)
    withheld = not_applicable(sentence("report.words.withheld"))
    competence = case.competence
    return replace(
        case,
        submitter=Submitter(
            first_name=withheld,
            last_name=withheld,
            address=withheld,
            country=case.submitter.country,
            email=withheld,
            phone=withheld,
            category=case.submitter.category,
        ),
        competence=None
        if competence is None
        else replace(
            competence, name=sentence("report.words.withheld_name"), permitted=sentence("report.words.withheld")
        ),
        cautions=tuple(replace(caution, by=sentence("report.words.withheld_name")) for caution in case.cautions),
        transfers=tuple(
            replace(
                transfer,
                giver=names.get(transfer.giver, ""),
                taker=names.get(transfer.taker, ""),
                place=sentence("report.words.withheld_place") if transfer.place.strip() else "",
            )
            for transfer in case.transfers
        ),
        steps=tuple(
            replace(step, by=names.get(step.by, ""), informed=_withheld_name(step.informed)) for step in case.steps
        ),
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


def readings_of(context: Context, ids: Iterable[str]) -> Runs:
    """Readings as references to their rows."""
    return joined((Reference(target=reading_anchor(key), text=key),) for key in ids)


def pictures_of(context: Context, ids: Iterable[str]) -> Runs:
    """Pictures as references to their rows in the evidence."""
    return joined((Reference(target=picture_anchor(key), text=key),) for key in ids)


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


def answer_text(answer: Answer) -> str:
    """An answer in words; an open one says that nobody answered."""
    return sentence(f"report.answer.{answer.name.lower()}")


def stated_runs(stated: Stated) -> Runs:
    """A field as value, or unknown because …, or not applicable because …, or not answered."""
    if not stated.answered:
        return (sentence("report.words.open"),)
    if stated.standing is Standing.VALUE:
        return (stated.text,)
    key = "report.words.unknown" if stated.standing is Standing.UNKNOWN else "report.words.not_applicable"
    return (sentence(key, reason=stated.reason),)


def stated_row(label: str, stated: Stated) -> KeyValue:
    """A field as a labelled value, with where on the unit it was read."""
    note: list[Runs] = []
    if stated.picture:
        link = Reference(target=picture_anchor(stated.picture), text=stated.picture)
        note.append((sentence("report.words.read_on_picture"), link))
    if stated.point:
        note.append((sentence("report.words.at_point", point=stated.point),))
    return KeyValue(
        label=label,
        runs=stated_runs(stated),
        note=joined(note),
        known=stated.answered and stated.standing is Standing.VALUE,
    )


def clause_runs(clauses: Iterable[Clause], *, brief: bool = False) -> Runs:
    """Clauses, each leading to the bibliography, with their status; if brief, only that of clauses from memory."""
    pieces: list[Runs] = []
    for clause in clauses:
        name = sentence(f"profiles.law_names.{clause.reference}", place=clause.place)
        link = Reference(target=reference_anchor(clause.reference), text=name)
        if brief and clause.status is not ClauseStatus.FROM_MEMORY:
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


def source_runs(sources: Iterable[Source]) -> Runs:
    """Sources with their status, each leading to the bibliography."""
    return joined(
        ((Reference(target=reference_anchor(source.key), text=source_text(source)),) for source in sources), "; "
    )
