"""Words of the next test; of a live test that nobody competent has asked for, only whom to ask."""

from hazardreport.assess.records import NextTest
from hazardreport.wording import sentence


def next_test_words(test: NextTest) -> tuple[str, str]:
    """Name and instruction of a test; the instruction is "" where a live test may not be shown."""
    words = dict(test.fields)
    if test.live and not test.shown:
        return sentence("cli.summary.ask", what=sentence(f"tests.{test.key}.ask", **words)), ""
    return sentence(f"tests.{test.key}.name", **words), sentence(f"tests.{test.key}.instruction", **words)
