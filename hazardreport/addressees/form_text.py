"""Text to enter on the own form of an addressee, element by element, and what to attach; made from the case alone."""

import string
from dataclasses import dataclass, replace
from enum import StrEnum

from hazardreport import wording
from hazardreport.addressees.addressed import addressed, names_allowed
from hazardreport.addressees.asked import Element, Level, Need, Profile
from hazardreport.addressees.completeness import ElementState, element_states
from hazardreport.addressees.links import RECORDS, FieldState, State, count, field_state, gap_name
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.picture import Recognisable

SENTENCE_ENDS = ".!?\u2026"


class AttachmentKind(StrEnum):
    """What can be attached."""

    REPORT = "report"
    PICTURE = "picture"
    PACK = "pack"


@dataclass(frozen=True, kw_only=True, slots=True)
class FormEntry:
    """What to enter for one element.

    element, name  key and name of the element
    text           to enter; "" where nothing is to be entered
    characters     of the text, a line break counting as one [1]
    limit          most characters that the form takes, None if no rule says so [1]
    personal       says who the submitter or a guardian is
    state          how the element stands
    note           for the person who enters it: why there is nothing, that it is too long; ""  if nothing is to be said
    """

    element: str
    name: str
    text: str
    characters: int
    limit: int | None
    personal: bool
    state: State
    note: str

    @property
    def too_long(self) -> bool:
        """More characters than the form takes."""
        return self.limit is not None and self.characters > self.limit


@dataclass(frozen=True, kw_only=True, slots=True)
class FormAttachment:
    """One file to attach: its name, and what it is."""

    kind: AttachmentKind
    name: str
    note: str


@dataclass(frozen=True, kw_only=True, slots=True)
class FormText:
    """Everything for one form.

    accepts   what the addressee accepts; size: what its rule says of the size of a report
    withheld  sentences on pictures: where to take them from, which are not to be attached
    """

    accepts: str
    size: str
    entries: tuple[FormEntry, ...]
    attachments: tuple[FormAttachment, ...]
    withheld: tuple[str, ...]


def form_text(case: Case, profile: Profile, assessment: Assessment | None) -> FormText:
    """Text to enter and files to attach for an addressee; what it does not ask for is left out.

    Parameters
    ----------
    case : Case
        The record; texts of people enter as they are, or, where this addressee may see no names and contact, without
        the words that tell them.
    profile : Profile
        Addressee; gives elements, sentences and limits.
    assessment : Assessment or None
        For elements that are computed; without it they are missing.
    """
    shown, states = addressed(case, profile), element_states(case, profile, assessment)
    asked = tuple(state for state in states if state.element.level is not Level.NOT_ASKED)
    entries = tuple(_entry(case, profile, state, assessment) for state in asked)
    if shown is not case:
        seen = {state.element.key: state for state in element_states(shown, profile, assessment)}
        pairs = zip(asked, entries, strict=True)
        entries = tuple(_less(entry, shown, profile, seen[state.element.key], assessment) for state, entry in pairs)
    return FormText(
        accepts=profile.accepts,
        size=profile.size,
        entries=entries,
        attachments=_attachments(shown, profile),
        withheld=_withheld(case, profile),
    )


def _less(
    whole: FormEntry, shown: Case, profile: Profile, state: ElementState, assessment: Assessment | None
) -> FormEntry:
    """The entry of the whole case as the addressee may see it; it says so where words are left out."""
    if not whole.text:
        return whole
    less = _entry(shown, profile, state, assessment)
    if not less.text:
        return replace(whole, text="", characters=0, note=_said("note.withheld"))
    told = less.note if less.text == whole.text or less.note else _said("note.words_left_out")
    return replace(whole, text=less.text, characters=less.characters, note=told)


def _said(key: str, **fields: object) -> str:
    return wording.sentence(f"form_text.{key}", **fields)


def _entry(case: Case, profile: Profile, state: ElementState, assessment: Assessment | None) -> FormEntry:
    element = state.element
    text, note = _text(case, profile, state, assessment)
    over = 0 if element.limit is None else len(text) - element.limit
    if over > 0:
        note = _said("note.too_long", over=over, limit=element.limit)
    return FormEntry(
        element=element.key,
        name=element.name,
        text=text,
        characters=len(text),
        limit=element.limit,
        personal=state.personal,
        state=state.state,
        note=note,
    )


def _text(case: Case, profile: Profile, state: ElementState, assessment: Assessment | None) -> tuple[str, str]:
    """Text and note."""
    element = state.element
    if state.state is State.MISSING:
        note = _said("note.missing", asked=element.asked)
        return "", _said("note.pending", note=note, pending=state.pending) if state.pending else note
    if state.state is State.NOT_APPLICABLE:
        return "", _said("note.not_applicable", reason=state.reason)
    if state.personal and not names_allowed(case, profile):
        return "", _said("note.withheld")
    statement = next((consent for consent in profile.consents if element.fields == (consent.field,)), None)
    if statement is not None and state.state is State.PRESENT:
        return statement.text, _said("note.statement")
    if element.template:
        return _filled(case, element, state, assessment), ""
    return "\n".join(_lines(case, state)), ""


def _lines(case: Case, state: ElementState) -> tuple[str, ...]:
    """A line for each field: its text, or why it is absent; of fields of which any will do, only those with a text."""
    present = tuple(field for field in state.fields if field.state is State.PRESENT)
    shown = present if present and state.element.need is Need.ANY else state.fields
    return tuple(_line(case, field, alone=len(state.element.fields) == 1) for field in shown)


def _line(case: Case, field: FieldState, alone: bool) -> str:
    label = "" if alone else _label(field.link)
    if field.state is State.PRESENT:
        text = _pictures(case) if field.link == "pictures" else _counted(case, field)
        return _said("text.one", text=text) if alone else _said("text.labelled", label=label, text=text)
    if alone:
        return _said("text.only_reason", reason=field.reason)
    return _said("text.absent", label=label, reason=field.reason)


def _counted(case: Case, field: FieldState) -> str:
    number = count(case, field.link)
    return _said(f"counted.{gap_name(field.link)}", count=number) if number else field.text


def _pictures(case: Case) -> str:
    """How many pictures are attached: those of which somebody said that nobody can be recognised."""
    number = sum(picture.recognisable is Recognisable.NO for picture in case.pictures)
    return _said("counted.pictures", count=number) if number else _said("counted.no_picture")


def _label(link: str) -> str:
    record, _, field = link.partition(".")
    if field and record not in RECORDS:
        return _said(f"label.{gap_name(link)}")
    name = wording.sentence(f"changes.field.{field or link}")
    return name[:1].upper() + name[1:]


def _filled(case: Case, element: Element, state: ElementState, assessment: Assessment | None) -> str:
    """The element's own text with its gaps filled; a sentence with nothing to say in its gap says that or why."""
    fields = {field.link: field for field in state.fields}
    gaps = {}
    for link in (*element.fields, *element.also):
        field = fields.get(link) or field_state(case, link, assessment)
        gaps[gap_name(link)] = _sentence(field.text or field.reason or _said("text.gap_open"))
    return string.Formatter().vformat(element.template, (), gaps)


def _sentence(text: str) -> str:
    """The text as a sentence, with a full stop where it has none."""
    stripped = text.strip()
    return stripped if stripped.endswith(tuple(SENTENCE_ENDS)) else f"{stripped}."


def _attachments(case: Case, profile: Profile) -> tuple[FormAttachment, ...]:
    report = FormAttachment(
        kind=AttachmentKind.REPORT, name=f"{case.id}-{profile.key}.pdf", note=_said("attachment.report")
    )
    pictures = tuple(
        FormAttachment(
            kind=AttachmentKind.PICTURE,
            name=picture.file,
            note=_said("attachment.picture", id=picture.id, caption=picture.caption).strip(),
        )
        for picture in case.pictures
        if picture.recognisable is Recognisable.NO
    )
    if not names_allowed(case, profile):
        return (report, *pictures)
    pack = FormAttachment(kind=AttachmentKind.PACK, name=f"{case.id}.zip", note=_said("attachment.pack"))
    return (report, *pictures, pack)


def _withheld(case: Case, profile: Profile) -> tuple[str, ...]:
    kinds = (("open", Recognisable.OPEN), ("shows_person", Recognisable.YES))
    numbers = {key: sum(picture.recognisable is answer for picture in case.pictures) for key, answer in kinds}
    shown = len(case.pictures) > sum(numbers.values())
    source = (_said("attachment.from_publication"),) if shown else ()
    pack = () if names_allowed(case, profile) else (_said("attachment.no_pack"),)
    return (*source, *pack, *(_said(f"attachment.{key}", count=number) for key, number in numbers.items() if number))
