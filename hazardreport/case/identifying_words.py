"""Which words of a case identify a person wherever they stand: those that people named, and those of personal fields.

Of a name each word of three letters or more counts, common words of offices and trades left out; of an address the
whole, each line and each part; of any other personal text the whole and each line. E-mail addresses and telephone
numbers count wherever a personal text holds them.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from functools import cache

from hazardreport.case.case import Case
from hazardreport.case.personal import PERSONAL
from hazardreport.case.stated import Standing, Stated
from hazardreport.case.word_search import WordSearch, folded
from hazardreport.wording import lines, sentence

NAMES = frozenset(
    (
        "submitter.first_name",
        "submitter.last_name",
        "competence.name",
        "cautions[].by",
        "readings[].by",
        "steps[].by",
        "transfers[].giver",
        "transfers[].taker",
        "anchors[].whom",
        "submitter.guardian",
        "harm_factors.assessor",
        "confirmations[].name",
        "confirmations[].second_reader",
        "letters[].person",
    )
)
ADDRESSES = frozenset(("submitter.address", "custody.kept_at", "items[].place", "transfers[].place"))
ADDRESS = "submitter.address"
OWN = frozenset(
    (
        *(f"submitter.{name}" for name in ("first_name", "last_name", "address", "email", "phone", "guardian")),
        *("competence.name", "harm_factors.assessor", "cautions[].by"),
        *("custody.kept_at", "items[].place", "private_words[]"),
    )
)
"""Fields about the submitter and those who are withheld with the submitter."""
FIRMS = frozenset(
    f"unit.{name}"
    for name in (
        *("brand", "maker", "maker_address", "maker_contact", "importer", "importer_address", "responsible_person"),
        *("responsible_person_address", "exporter", "distributor", "seller", "seller_address", "seller_contact"),
        *("marketplace", "marketplace_contact", "listing", "purchase_place", "country"),
    )
)
"""Fields about firms and where they are."""
E_MAIL = "submitter.email"
PHONE = "submitter.phone"
NAME_LETTERS = 3
"""Fewest letters of a word of a name that is looked for by itself."""
NAME_WORDS = 4
"""Most words of a text that is taken for a name as a whole."""
LINE_LETTERS = 4
"""Fewest letters and digits of a line, or of a part of an address, that is looked for by itself."""
_MAIL = re.compile(r"(?:(?<![\w.+%-])[\w.+%-]++|[\w.+%-]{1,64})@[\w-]++(?:\.[\w-]++)+")
"""A mailbox is tried whole from where it begins and bounded from within: a long text costs no more than its length."""
_REMARK = re.compile(r"\([^)]{0,200}\)")
_NUMBER = re.compile(r"(?<![\w.])[+(]{0,2}\d(?:[ \t./()-]{0,3}\d){6,18}(?!\w)")
_DATE = re.compile(r"\d{4}-\d\d-\d\d|\d{1,2}[./]\d{1,2}[./]\d{4}")


def identifying_words(case: Case) -> WordSearch:
    """The search for everything that identifies a person in this case."""
    ours = {sentence("publication.withheld"), sentence("publication.reason")}
    personal = tuple(dict.fromkeys(_personal_texts(case)))
    found = {word for place, text in personal for word in _words(place, text)}
    texts = [text for _, text in personal]
    mails = [mail for text in texts for mail in _MAIL.findall(text)]
    numbers = [number for text in texts for number in _NUMBER.findall(_DATE.sub(" ", text))]
    numbers += [text for place, text in personal if place == PHONE]
    words = {*found, *mails, *(name for mail in mails for name in _mailbox(mail)), *_full_names(case)}
    return WordSearch((word for word in sorted(words) if word not in ours), sorted(numbers))


def submitter_words(case: Case, *, towns: bool = True) -> WordSearch:
    """The search for who submits, who was hurt, who measured, and where the unit is kept; not for others or firms.

    towns  also for parts of the submitter's address without a digit, which may be the town of a firm, too
    """
    told = [(place, text) for place, text in _submitter_texts(case) if text.strip() and text not in _stand_ins()]
    found = {word for place, text in told for word in _words(place, text)}
    if not towns:
        parts = {part for place, text in told if place == ADDRESS for part in (*_parts(text), *_lines(text))}
        found -= {part for part in parts if not any(sign.isdigit() for sign in part)}
    reached = " ".join(text for place, text in _texts_at(case, FIRMS))
    texts = [*(text for _, text in told), *(text for _, text in _contacts(case))]
    mails = [mail for text in texts for mail in _MAIL.findall(text) if mail not in reached]
    numbers = [number for text in texts for number in _NUMBER.findall(_DATE.sub(" ", text)) if number not in reached]
    numbers += [text for place, text in told if place == PHONE]
    hurt = case.occurrence.injured_person
    words = {*found, *mails, *(name for mail in mails for name in _mailbox(mail)), *_full_names(case)}
    words |= set(_hurt(hurt.text if hurt.standing is Standing.VALUE else ""))
    return WordSearch(sorted(words), sorted(numbers))


def _stand_ins() -> frozenset[str]:
    """What stands where a name or a place was; it identifies nobody."""
    keys = ("publication.withheld", "publication.reason", "report.words.withheld_name", "report.words.kept_withheld")
    return frozenset(sentence(key) for key in (*keys, "report.words.withheld_place"))


def _submitter_texts(case: Case) -> Iterator[tuple[str, str]]:
    """Texts that name the submitter, a guardian or who measured, that say where the unit is kept, or are private."""
    for place, text in _texts(case, "", inside=False):
        field = place.removesuffix(".reason")
        if field == place and (field in OWN or field not in PERSONAL):
            yield place, text


def _texts_at(case: Case, places: frozenset[str]) -> Iterator[tuple[str, str]]:
    return ((place, getattr(case.unit, place.partition(".")[2]).text) for place in sorted(places))


def _contacts(case: Case) -> Iterator[tuple[str, str]]:
    """Texts about the submitter that hold an address or a number among other things."""
    contacts = case.occurrence.contacts
    for name in ("first_name", "last_name", "address", "email", "phone", "guardian"):
        yield name, getattr(case.submitter, name).reason
    yield from (("contacts", contacts.text), ("contacts", contacts.reason))


def _hurt(text: str) -> Iterator[str]:
    """Names in what is said of the person hurt: capitals within a part; a part that is one word, or looks like a name.

    "Tilda, 10 years" names Tilda; "Girl of 10" names nobody.
    """
    common = _common() | frozenset(lines("report.words.persons"))
    for part in re.split(r"[,;:.\n\r()]+", text):
        words = part.split()
        named = len(words) == 1 or _looks_like_a_name(part.strip())
        for word in words if named else words[1:]:
            if word[:1].isupper():
                yield from (name for name in _name_words(word) if _plain(name) not in common)


def names_nobody(text: str) -> bool:
    """Whether nothing in what is said of a person can be a name: no odd capital, no odd word that stands alone.

    >>> names_nobody("a helper, 43 years old"), names_nobody("Girl of 12"), names_nobody("Tilda aged 10")
    (True, True, False)
    """
    common = _common() | frozenset(lines("report.words.persons"))
    for part in re.split(r"[,;:.\n\r()]+", text):
        words = re.findall(r"[^\W\d_]{2,}", part)
        if any((word[:1].isupper() or len(words) == 1) and _plain(word) not in common for word in words):
            return False
    return True


def addresses_and_numbers(text: str) -> tuple[str, ...]:
    """E-mail addresses in a text, then what looks like telephone numbers; dates are none."""
    return (*_MAIL.findall(text), *_NUMBER.findall(_DATE.sub(" ", text)))


def _personal_texts(case: Case) -> Iterator[tuple[str, str]]:
    ours = {"", sentence("publication.withheld"), sentence("publication.reason")}
    return ((place, text) for place, text in _texts(case, "", inside=False) if text.strip() not in ours)


def _texts(value: object, place: str, *, inside: bool) -> Iterator[tuple[str, str]]:
    """Texts of personal fields and of fields marked as private, with their places."""
    if isinstance(value, Stated):
        if place in PERSONAL or value.private:
            yield place, value.text
            yield f"{place}.reason", value.reason
    elif isinstance(value, str):
        if place in PERSONAL:
            yield place, value
    elif isinstance(value, tuple):
        for item in value:
            yield from _texts(item, f"{place}[]", inside=True)
    elif is_dataclass(value):
        for field in fields(value):
            inner = f"{place}.{field.name}" if place else field.name
            yield from _texts(getattr(value, field.name), inside=True, place=inner)


def _words(place: str, text: str) -> Iterator[str]:
    """What to look for of one personal text."""
    yield from _lines(text)
    if place in NAMES or (place == "private_words[]" and _looks_like_a_name(text)):
        yield text if _letters(text) > 1 else ""
        yield from _name_words(text)
    elif place == "private_words[]":
        yield text
        yield from (part for part in _parts(text) if any(sign.isdigit() for sign in part))
    elif place in ADDRESSES:
        whole = place == ADDRESS
        yield from (part for part in _parts(text) if whole or any(sign.isdigit() for sign in part))


def _lines(text: str) -> Iterator[str]:
    """The text and its lines, those left out that are common words or too short."""
    for line in (text, *text.splitlines()):
        if _letters(line) >= LINE_LETTERS and _plain(line) not in _common():
            yield line


def _parts(text: str) -> Iterator[str]:
    """What stands between commas, and that without a remark in brackets."""
    for part in re.split(r"[,;\n\r]+", text):
        for piece in (part, _REMARK.sub(" ", part)):
            if _letters(piece) >= LINE_LETTERS and _plain(piece) not in _common():
                yield piece.strip()


def _name_words(text: str) -> Iterator[str]:
    """Words of a name; of a longer text that tells more than a name only those that begin with a capital."""
    words = re.findall(r"[^\W_]+(?:[-'\u2019][^\W_]+)*", text)
    capital = [word for word in words if not word[0].islower()]
    for word in capital if capital and len(words) > NAME_WORDS else words:
        for part in (word, *re.split(r"[-'\u2019]", word)):
            if _letters(part) >= NAME_LETTERS and _plain(part) not in _common():
                yield part


def _looks_like_a_name(text: str) -> bool:
    """Two or three words that begin with capitals, without digits."""
    words = text.split()
    return len(words) in (2, 3) and all(word[0].isupper() for word in words) and not re.search(r"\d", text)


def _full_names(case: Case) -> tuple[str, ...]:
    first, last = case.submitter.first_name.text.strip(), case.submitter.last_name.text.strip()
    return (f"{first} {last}", f"{last} {first}") if first and last else ()


def _mailbox(mail: str) -> Iterable[str]:
    name = mail.partition("@")[0]
    return (name,) if _letters(name) >= LINE_LETTERS and _plain(name) not in _common() else ()


def _letters(text: str) -> int:
    return sum(sign.isalnum() for sign in folded(text)[0])


def _plain(text: str) -> str:
    return folded(text)[0].strip(" .-")


@cache
def _common() -> frozenset[str]:
    return frozenset(lines("publication.common_words"))
