"""What is the matter with a case, each thing told once, with the records that have it."""

from collections.abc import Sequence
from dataclasses import dataclass

from hazardreport.assess.records import Problem
from hazardreport.wording import sentence

COUNTED = frozenset({"no_picture"})
"""Problems that most readings share and that take nothing from them: one line for all, and last."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ProblemLine:
    """One thing that is the matter: its text, the problems that it stands for, whether it is only counted."""

    text: str
    problems: tuple[Problem, ...]
    counted: bool

    @property
    def ids(self) -> tuple[str, ...]:
        """The records that have it; none where it is the case's."""
        return tuple(problem.id for problem in self.problems if problem.id)


def problem_lines(problems: Sequence[Problem]) -> tuple[ProblemLine, ...]:
    """Those that are only good to know come after the others."""
    found: dict[tuple[bool, str], list[Problem]] = {}
    for problem in sorted(problems, key=lambda problem: (problem.key in COUNTED, problem.gentle)):
        counted = problem.key in COUNTED
        text = problem.key if counted else " ".join(problem_texts(problem))
        found.setdefault((counted, text), []).append(problem)
    return tuple(
        ProblemLine(
            text=sentence(f"cli.summary.counted_{text}", count=len(those)) if counted else text,
            problems=tuple(those),
            counted=counted,
        )
        for (counted, text), those in found.items()
    )


def problem_texts(problem: Problem) -> tuple[str, str]:
    """What is the matter with the case, and what to do."""
    fields = dict(problem.fields)
    return (
        sentence(f"problems.{problem.key}.what", **fields),
        sentence(f"problems.{problem.key}.remedy", **fields),
    )
