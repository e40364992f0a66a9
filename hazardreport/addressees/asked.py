"""What addressees ask for, as records: elements, consents, requests, dates that follow. Says nothing about a case."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.letter import LetterKind
from hazardreport.case.personal import PERSONAL, Person
from hazardreport.quantity.trace import Source, Status


class Level(StrEnum):
    """Whether the addressee asks for an element."""

    REQUIRED = "required"
    NAMED = "named"
    NOT_ASKED = "not asked"


class ClauseStatus(StrEnum):
    """How the wording of a clause was checked."""

    READ = "C"
    RESTATED = "C-2"
    FROM_MEMORY = "M"
    INFERRED = "D"


class Need(StrEnum):
    """How many of an element's fields must be answered."""

    ALL = "all"
    ANY = "any"


class Kind(StrEnum):
    """What an addressee is."""

    AUTHORITY = "authority"
    MAKER = "maker"
    MARKETPLACE = "marketplace"
    SELLER = "seller"
    OWNER = "owner"


class Form(StrEnum):
    """Whether the addressee takes a report in the sender's own shape."""

    OWN_ONLY = "own form only"
    FREE = "free"
    NOT_KNOWN = "not known"


class Counting(StrEnum):
    """How the days of a date that follows are counted."""

    BUSINESS = "business"
    CALENDAR = "calendar"
    NONE = "none"


@dataclass(frozen=True, kw_only=True, slots=True)
class Clause:
    """Where something is asked: key in references.toml, place in it, how it was checked."""

    reference: str
    place: str
    status: ClauseStatus

    @property
    def source(self) -> Source:
        """The clause as the source of a number or statement; a restatement counts as confirmed."""
        unread = {ClauseStatus.FROM_MEMORY: Status.FROM_MEMORY, ClauseStatus.INFERRED: Status.CHOICE}
        return Source(key=self.reference, place=self.place, status=unread.get(self.status, Status.CONFIRMED))


@dataclass(frozen=True, kw_only=True, slots=True)
class Term:
    """One comparison: the answer behind a link is this word; "present" and "missing" ask for any value."""

    link: str
    word: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Condition:
    """Terms that must all hold, as a profile writes them: "submitter.minor = yes and situation.injured = yes"."""

    terms: tuple[Term, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Element:
    """One thing that the addressee asks for.

    key              of the element in its profile
    name, asked      for people: its name; what exactly satisfies it
    without          for people: what happens without it
    fields           links to the case: "unit.maker", "pictures", "severity.established"
    need             all of the fields, or any of them
    reason_accepted  an absence with its reason is enough; False where the addressee needs the value itself
    part             part of the report in which it stands
    only_if          asked only if any of these conditions holds; empty: always
    only_if_text     for people: when it is asked; "" if always
    also             links that the text to enter uses besides the fields
    template         text to enter, with the links as gaps ("unit_maker"); "" : the fields one after the other
    limit            most characters that the addressee's form takes, None if no rule says so [1]
    """

    key: str
    name: str
    asked: str
    without: str
    level: Level
    fields: tuple[str, ...]
    need: Need
    reason_accepted: bool
    part: str
    clauses: tuple[Clause, ...]
    only_if: tuple[Condition, ...] = ()
    only_if_text: str = ""
    also: tuple[str, ...] = ()
    template: str = ""
    limit: int | None = None

    @property
    def personal(self) -> bool:
        """Whether it holds who the submitter or a guardian is, so that it stands on the last sheet only."""
        about = (Person.SUBMITTER, "submitter")
        return any((PERSONAL.get(link), link.partition(".")[0]) == about for link in (*self.fields, *self.also))


@dataclass(frozen=True, kw_only=True, slots=True)
class Request:
    """What the report asks the addressee to do."""

    key: str
    text: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class FollowUp:
    """A date that follows, in words: what is expected, and by when at the earliest or latest.

    starts     kind of letter that starts the clock, None if no letter of this case does
    days       until the latest day, None if no number is fixed [day]
    counting   of the days
    holidays   whose public holidays are no business days: "US", "EU", "" if none
    waits_for  kind of letter that ends the wait, None if none is due
    ended_by   further kinds of letters that end it, since they show that what is waited for has happened
    owed       a rule owes it to the sender, or to everybody by that day: it can be overdue
    extended_by, extended_days   kind of letter for which it can be put off, and by how many more days, None if none
    only_if    expected only if any of these conditions holds; empty: always
    """

    key: str
    text: str
    clauses: tuple[Clause, ...]
    starts: LetterKind | None = None
    days: int | None = None
    counting: Counting = Counting.NONE
    holidays: str = ""
    waits_for: LetterKind | None = None
    ended_by: tuple[LetterKind, ...] = ()
    owed: bool = False
    extended_by: LetterKind | None = None
    extended_days: int | None = None
    only_if: tuple[Condition, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Consent:
    """A statement of the submitter that the declaration shows, independent of the others; field: link to the case."""

    key: str
    field: str
    text: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ProposalRule:
    """When an addressee is proposed, and why; duty: only a duty of one who is proposed anyway.

    when  any of these conditions; empty: always
    """

    key: str
    text: str
    when: tuple[Condition, ...]
    duty: bool
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Profile:
    """One addressee.

    key, authority   stem of its file; folder of its file
    kind, form       what it is; whether it takes a report in the sender's own shape
    rank             place among addressees that are told: the lowest first [1]
    title, who       name of the output; who receives it
    language         of the sentences
    paper            "a4" or "letter"
    accepts          what the addressee accepts, for people
    size             what its rule says of the size of a report, for people; "" where nothing is to be entered
    contact_consent  field without whose yes no name and contact may reach this addressee, or ""
    parts            keys of the report's parts, in the addressee's order
    """

    key: str
    authority: str
    kind: Kind
    form: Form
    rank: int
    title: str
    who: str
    language: str
    paper: str
    accepts: str
    size: str
    contact_consent: str
    parts: tuple[str, ...]
    elements: tuple[Element, ...]
    consents: tuple[Consent, ...]
    requests: tuple[Request, ...]
    follow_up: tuple[FollowUp, ...]
    proposals: tuple[ProposalRule, ...]

    @property
    def form_only(self) -> bool:
        """Accepts only its own form: the report is text to enter plus attachments."""
        return self.form is Form.OWN_ONLY

    @property
    def text_to_enter(self) -> bool:
        """Text to enter is needed, or may be."""
        return self.form is not Form.FREE

    @property
    def clauses(self) -> tuple[Clause, ...]:
        """Every clause that the profile cites."""
        rows: tuple[Element | Consent | Request | FollowUp | ProposalRule, ...] = (
            *self.elements,
            *self.consents,
            *self.requests,
            *self.follow_up,
            *self.proposals,
        )
        return tuple(clause for row in rows for clause in row.clauses)

    def element(self, key: str) -> Element:
        """The element of that key."""
        return next(element for element in self.elements if element.key == key)
