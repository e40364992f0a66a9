"""Which confirmations of readers count at present, and caches that keep results with and without them apart.

Whoever computes for a case opens `counting` in the function that does the work: a context variable is per thread, so
that a job, in a thread or a process of its own, starts without any.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import lru_cache, update_wrapper
from typing import TYPE_CHECKING, Concatenate, Generic, ParamSpec, TypeVar

if TYPE_CHECKING:
    from hazardreport.standards.tables import Table

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Active:
    """Tables with the cells that readers confirmed, by (standard, name); one object for each set of confirmed cells."""

    tables: "Mapping[tuple[str, str], Table]" = field(default_factory=dict)


NONE = Active()
_ACTIVE: ContextVar[Active] = ContextVar("confirmations", default=NONE)


def active() -> Active:
    """The confirmed tables that count where this is asked."""
    return _ACTIVE.get()


@contextmanager
def counting(confirmed: Active) -> Iterator[None]:
    """Within the block, in this thread, `table` answers with these tables."""
    before = _ACTIVE.set(confirmed)
    try:
        yield
    finally:
        _ACTIVE.reset(before)


class _Cached(Generic[P, R]):
    """A function whose results are kept by its arguments and by the confirmations that count."""

    __wrapped__: Callable[P, R]

    def __init__(self, function: Callable[P, R], maxsize: int) -> None:
        def keyed(confirmed: Active, *args: P.args, **kwargs: P.kwargs) -> R:
            return function(*args, **kwargs)

        self._kept: Callable[Concatenate[Active, P], R] = lru_cache(maxsize=maxsize)(keyed)
        update_wrapper(self, function)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        return self._kept(_ACTIVE.get(), *args, **kwargs)


def cached_by_confirmations(maxsize: int = 4096) -> Callable[[Callable[P, R]], _Cached[P, R]]:
    """Decorator in place of `functools.cache` for whatever holds a `Source`, a status or a `Table`."""

    def decorate(function: Callable[P, R]) -> _Cached[P, R]:
        return _Cached(function, maxsize)

    return decorate
