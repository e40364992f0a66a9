"""What may be said of the next test: behind the competence gate, never a live instruction."""

from hazardreport import wording
from hazardreport.assess.records import NextTest
from hazardreport.case.case import Case


def next_test_sentence(case: Case, next_test: NextTest | None) -> str:
    """One sentence for the panel; "" if nothing is known about tests yet."""
    if next_test is None:
        return wording.sentence("window.verdict.no_further_test") if case.readings else ""
    key = next_test.key
    if next_test.live and not next_test.shown and not key.startswith("ask_"):
        key = "ask_part"
    return wording.sentence(
        f"tests.{key}.{'instruction' if key.startswith('ask_') else 'name'}", **dict(next_test.fields)
    )
