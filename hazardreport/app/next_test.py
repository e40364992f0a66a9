"""Words of the next test; of a live test that nobody competent has asked for, only whom to ask."""

from hazardreport.assess.records import NextTest
from hazardreport.wording import sentence

ASK = "ask_part"


def next_test_words(test: NextTest) -> tuple[str, str]:
    """Name and instruction of a test; behind the competence gate both only say whom to ask."""
    key, words = test.key, dict(test.fields)
    if test.live and not test.shown:
        key, words = (key if key.startswith("ask_") else ASK), {}
    return sentence(f"tests.{key}.name", **words), sentence(f"tests.{key}.instruction", **words)
