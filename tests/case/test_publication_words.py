"""A word is found however it is written, and nothing else is."""

import re
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.case.circumstances import Competence, Submitter
from hazardreport.case.custody import Item, Transfer
from hazardreport.case.identifying_words import _MAIL, identifying_words
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.scenario import HarmFactors
from hazardreport.case.stated import value
from hazardreport.case.word_search import WordSearch, folded

WORDS = (
    "Ottilie Quandt",
    "Quandt",
    "Ina",
    "Birkenweg 9",
    "SN-40417733",
    "李明",
    "김철수",
    "r.oakes@x.example",
    "Müller",
)
PHONE = "+49 (0)221 / 555-0147"


@pytest.fixture(scope="module")
def search() -> WordSearch:
    return WordSearch(WORDS, [PHONE])


@pytest.mark.parametrize(
    "text",
    [
        "INA",
        "Ottilie   Quandt",
        "OttilieQuandt",
        "ottilie_quandt",
        "Ot\u00adtilie\u200b Quandt",
        "Quan-\ndt",
        "Q u a n d t",
        "Q.U.A.N.D.T.",
        "ＱＵＡＮＤＴ",
        "Quandts",
        "Quandt2026",
        "birkenweg\n9",
        "Birkenweg, 9",
        "sn40417733",
        "SN 4041 7733",
        "SN\u20114041\u201277\u201333",
        "MULLER",
        "Mu\u0308ller",
        "R.OAKES@X.EXAMPLE",
        "0221 5550147",
        "0221/5550147",
        "+492215550147",
        "555-01 47",
        "\u0665\u0665\u0665\u0660\u0661\u0664\u0667",
    ],
)
def test_a_word_is_found_however_it_is_written(search: WordSearch, text: str) -> None:
    found, count = search.replaced(f"seen ({text}) there", "#")
    assert count == 1
    assert re.fullmatch(r"seen \([+.]?#(\.|2026)?\) there", found)


@pytest.mark.parametrize("text", ["他是李明。", "김철수는 여기", "vor李 明nach"])
def test_scripts_without_borders_of_words_need_none(search: WordSearch, text: str) -> None:
    assert search.replaced(text, "#")[1] == 1


@pytest.mark.parametrize(
    "text", ["in a pot", "China", "Quandtner", "Birkenweg 95", "140417733", "5550148", "mull", "李", "2026-05-12 09:10"]
)
def test_other_words_stay(search: WordSearch, text: str) -> None:
    assert search.replaced(text, "#") == (text, 0)


def test_words_that_overlap_are_replaced_once() -> None:
    search = WordSearch(["Anna Lee", "Lee Smith"])
    assert search.replaced("Anna Lee Smith came", "#") == ("# came", 1)


def test_a_short_number_does_not_cut_another() -> None:
    search = WordSearch(["12"])
    assert search.replaced("12 V, 12.5 V, 1.12 V, 112 V; no 12.", "#")[0] == "# V, 12.5 V, 1.12 V, 112 V; no #."


def test_a_bracket_that_opened_in_a_word_closes_with_it() -> None:
    search = WordSearch(["50667 Kerzenau (invented)"])
    assert search.replaced("at (50667 Kerzenau (invented)), then", "#") == ("at (#), then", 1)


def test_a_word_of_signs_alone_is_found_as_it_is() -> None:
    assert WordSearch(["★★"]).replaced("by ★★.", "#") == ("by #.", 1)


def test_no_words_find_nothing() -> None:
    assert WordSearch([]).replaced("anything", "#") == ("anything", 0)


LETTERS = st.text("abcdefghijklmnopqrstuvwxyzäöüéñ", min_size=3, max_size=12)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(
    st.lists(LETTERS, min_size=1, max_size=3), st.sampled_from(["upper", "lower", "title"]), st.sampled_from(" -_\n")
)
def test_any_name_in_any_case_form_and_spacing_is_found(names: list[str], case: str, between: str) -> None:
    search = WordSearch([" ".join(names)])
    for form in ("NFC", "NFD", "NFKC", "NFKD"):
        text = unicodedata.normalize(form, between.join(getattr(name, case)() for name in names))
        assert search.replaced(f"({text})", "#") == ("(#)", 1)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=30))
def test_each_folded_sign_knows_where_it_stood(text: str) -> None:
    flat, origin = folded(text)
    assert len(flat) == len(origin)
    assert all(0 <= start < end <= len(text) for start, end in origin)
    assert list(origin) == sorted(origin)
    assert "".join(folded(text[start:end])[0] for start, end in dict.fromkeys(origin)) == flat


# which words of a case are looked for


def found_in(case: Case, text: str) -> str:
    return identifying_words(case).replaced(text, "#")[0]


def test_each_word_of_a_name_and_no_common_word() -> None:
    case = Case(
        id="a",
        competence=Competence(
            name="Jo Quandt-Weber, master electrician", qualification="", permitted="", stated="2026-01-01"
        ),
        transfers=(Transfer(id="transfer-001", giver="Trading Standards Office of Northtown"),),
    )
    text = "Quandt and Weber, an electrician and the office of Northtown; Jo came, and Jo Quandt-Weber"
    assert found_in(case, text) == "# and #, an electrician and the office of #; Jo came, and Jo #"


def test_of_a_text_that_tells_more_than_a_name_only_capitalised_words_count() -> None:
    told = value("Ottilie Quandt, with Ulf Wetterau for the electrical steps")
    words = identifying_words(Case(id="a", harm_factors=HarmFactors(assessor=told)))

    assert [bool(words.spans(name)) for name in ("Ottilie", "quandt", "Ulf", "WETTERAU")] == [True] * 4
    assert words.spans("the electrical trade and its steps") == ()
    typed_small = Case(id="a", harm_factors=HarmFactors(assessor=value("ottilie quandt and her friend ulf wetterau")))
    assert identifying_words(typed_small).spans("Wetterau") != ()


def test_names_of_two_fields_stand_together() -> None:
    case = Case(id="a", submitter=Submitter(first_name=value("Jo"), last_name=value("Li")))
    assert found_in(case, "JoLi; Li Jo! Jo went: Li-on battery") == "#; #! # went: #-on battery"


def test_an_address_as_a_whole_by_line_and_by_part() -> None:
    case = Case(
        id="a",
        submitter=Submitter(address=value("Birkenweg 9, back house\n50667 Kerzenau (invented)")),
        items=(Item(id="item-001", place="shelf, Lange Gasse 3"),),
    )
    text = "at Birkenweg 9 in Kerzenau, 50667 Kerzenau; a shelf at Lange Gasse 3"
    assert found_in(case, text) == "at # in Kerzenau, #; a shelf at #"


def test_mail_and_telephone_inside_of_any_personal_text() -> None:
    case = Case(
        id="a",
        readings=(Reading(id="r", first="A", second="B", quantity=Quantity.VOLTAGE, typed="1 V", by="q"),),
        transfers=(
            Transfer(id="t", place="told on 2026-05-13 by o.quandt@post.example or 0221 555 0147, then sent back"),
        ),
    )
    text = "O.Quandt@post.example, o.quandt, 0049 221 5550147, on 2026-05-13"
    assert found_in(case, text) == "#, #, #, on 2026-05-13"


def test_private_words_that_look_like_a_name_count_word_by_word() -> None:
    case = Case(id="a", private_words=("Ottilie Quandt", "wax club", "Birkenweg 9, 50667 Kerzenau"))
    text = "Quandt of the wax club; a club for wax; Birkenweg 9"
    assert found_in(case, text) == "# of the #; a club for wax; #"


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(st.characters(max_codepoint=126), max_size=30))
def test_plain_letters_are_folded_as_any_others(text: str) -> None:
    """A letter that is not ASCII behind the text makes the general way read it."""
    flat, origin = folded(text)
    general, places = folded(f"{text}é")
    assert (flat, origin) == (general[:-1], places[:-1])


@pytest.mark.parametrize(
    ("text", "mail"),
    [
        ("write to r.oakes@x.example now", "r.oakes@x.example"),
        (f"{'a' * 90}@x.example", f"{'a' * 90}@x.example"),
        ("r.oakes@x.example%ina@y.example", "%ina@y.example"),
        ("@@ina@y.example.", "ina@y.example"),
        ("ina@ y.example", ""),
        ("ina@example", ""),
    ],
)
def test_addresses_are_found_whole(text: str, mail: str) -> None:
    found = _MAIL.findall(text)
    assert (mail in found) if mail else not found


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.text("ab.@%- ", max_size=30))
def test_addresses_are_those_of_the_plain_pattern(text: str) -> None:
    """The plain pattern takes a time that grows with the square of a long text; ours finds the same."""
    assert _MAIL.findall(text) == re.findall(r"[\w.+%-]+@[\w-]+(?:\.[\w-]+)+", text)


@pytest.mark.parametrize("sign", ["a", "(", " (", "a.", "1 ", "a@"])
def test_a_long_text_is_searched(sign: str) -> None:
    """Twenty thousand letters."""
    long = f"{sign * (20_000 // len(sign))}, r.oakes@x.example"
    words = identifying_words(Case(id="T", submitter=Submitter(address=value(long))))
    assert words.spans("ask r.oakes@x.example")
