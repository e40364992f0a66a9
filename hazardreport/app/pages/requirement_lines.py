"""What stands in the row of a construction requirement, from its data, its answer and the results. Decides nothing."""

from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.views.fact_table import Cell, StrongCell, number_cell
from hazardreport.app.views.record_list import Note
from hazardreport.app.views.requirement_row import RequirementState, RequirementText
from hazardreport.assess.records import Assessment
from hazardreport.assess.records import RequirementState as Result
from hazardreport.case.case import Case
from hazardreport.case.requirement import RequirementAnswer

if TYPE_CHECKING:
    from hazardreport.risk.requirements import Requirement
    from hazardreport.standards.references import Reference


def requirement_text(entry: "Requirement") -> RequirementText:
    """What is said of a requirement, whatever the answer."""
    from hazardreport.standards.references import reference

    places: dict[str, list[str]] = {}
    for clause in entry.clauses:
        status = wording.sentence(f"findings.basis.{clause.status.name.lower()}")
        places.setdefault(clause.reference, []).append(f"{clause.place} ({status})")
    told = "; ".join(f"{cited(reference(key))}, {', '.join(clauses)}" for key, clauses in places.items())
    look_for = entry.look_for
    if entry.opened:
        look_for = f"{look_for} {wording.sentence('findings.construction.opened')}"
    return RequirementText(
        key=entry.key,
        name=entry.name,
        look_for=look_for,
        explain=entry.explain,
        basis=wording.sentence("findings.construction.basis", basis=told),
    )


def cited(document: "Reference") -> str:
    """A document in few words: who published it, year, title."""
    return f"{' '.join(part for part in (document.body, document.year) if part)}: {document.title}"


def requirement_state(
    answer: RequirementAnswer | None, key: str, assessment: Assessment | None, case: Case
) -> RequirementState:
    """How a requirement stands; what the results say of another answer than the present one is not shown."""
    result = None
    if assessment is not None:
        result = next((state for state in assessment.requirements if state.key == key), None)
    if result is None or assessment is None:
        return RequirementState(answer=answer)
    compared = result.comparison
    row: tuple[Cell, ...] = ()
    if compared is not None and compared.number in assessment.trace and compared.limit in assessment.trace:
        read, limit = assessment.number(compared.number), assessment.number(compared.limit)
        row = (compared.name, number_cell(read), number_cell(limit), StrongCell(text=compared.decision.value))
    return RequirementState(answer=answer, notes=_notes(answer, result, case), compared=row)


def _notes(answer: RequirementAnswer | None, result: Result, case: Case) -> tuple[Note, ...]:
    notes: list[Note] = []
    current = (answer.answer if answer is not None else None) == result.answer
    if not result.applies:
        notes.append(Note(text=wording.sentence("findings.construction.elsewhere"), problem=False))
    if current and result.contradicted:
        notes.append(Note(text=wording.sentence("findings.construction.contradicted"), problem=True))
    if answer is not None and current:
        if not (result.supported or answer.note.strip() or answer.pictures or answer.readings):
            notes.append(Note(text=wording.sentence("findings.construction.unsupported"), problem=True))
        gone = [
            one for one in (*answer.pictures, *answer.readings) if case.picture(one) is None and not case.reading(one)
        ]
        if gone:
            notes.append(Note(text=wording.sentence("findings.construction.gone", ids=", ".join(gone)), problem=True))
    if current and result.sentence:
        notes.append(Note(text=result.sentence, problem=False))
    return tuple(notes)
