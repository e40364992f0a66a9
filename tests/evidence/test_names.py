"""Names are kept exactly: whatever a system calls a file can be had back from what the case says."""

import os
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.evidence.names import kept_name, original_name, shown, shown_name

PROPERTY = settings(derandomize=True, deadline=None, max_examples=500)
PLAIN = ("\\", "\\x", "\\u{", "}", "/", ":", "..", "CON", "aux.jpg", "LPT1", "[U+202E]", "é", "e\u0301", "\U0001f9ef")
ODD = ("\u202e", "\u200f", "\0", "\n", "\x7f", "\x85", "\u2028", "\ue000", "\U000e0041", "\udcff", "\ud83d", "\ufffe")
AWKWARD = st.sampled_from(PLAIN + ODD)
TEXTS = st.lists(AWKWARD | st.characters(), max_size=40).map("".join)


@given(name=st.binary(max_size=255))
@PROPERTY
def test_any_bytes_that_name_a_file_can_be_had_back(name: bytes) -> None:
    """On the systems where names are bytes."""
    assert os.fsencode(original_name(kept_name(os.fsdecode(name)))) == name


@given(name=TEXTS)
@PROPERTY
def test_any_text_that_names_a_file_can_be_had_back(name: str) -> None:
    kept = kept_name(name)
    assert original_name(kept) == name
    assert shown(kept) == kept
    kept.encode("utf-8")


@given(one=TEXTS, other=TEXTS)
@PROPERTY
def test_two_names_are_never_kept_alike(one: str, other: str) -> None:
    assert (kept_name(one) == kept_name(other)) == (one == other)


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("Größe 大 🧯.jpg", "Größe 大 🧯.jpg"),
        ("pot\u202egpj.exe", r"pot\u{202e}gpj.exe"),
        (r"C:\pictures\CON.jpg", r"C:\\pictures\\CON.jpg"),
        ("half \udcff.jpg", r"half \xff.jpg"),
        (r"looks like \xff.jpg", r"looks like \\xff.jpg"),
        ("tab\tline\n", r"tab\u{9}line\u{a}"),
        ("tag\U000e0041", r"tag\u{e0041}"),
        ("lone \ud83d", r"lone \u{d83d}"),
        ("x" * 300, "x" * 300),
        ("", ""),
    ],
)
def test_only_what_would_deceive_is_escaped(name: str, kept: str) -> None:
    assert kept_name(name) == kept
    assert original_name(kept) == name


@pytest.mark.parametrize("kept", [r"a\q", r"\x41", r"\u{110000}", r"\u{}", "\\", r"\xf", "picture[U+202E].jpg"])
def test_what_is_no_escape_of_ours_stays(kept: str) -> None:
    """As names stand in cases of older programs."""
    assert original_name(kept) == kept


def test_messages_cut_a_long_name() -> None:
    assert shown_name("x" * 300) == "x" * 200 + "…"
    assert all(unicodedata.category(sign) != "Cf" for sign in shown_name("\u202e\u200f\ufeff"))
