"""What every page works with."""

from dataclasses import dataclass

from hazardreport.app.checking import CaseCheck
from hazardreport.app.jobs import Jobs
from hazardreport.app.live import LiveVerdict
from hazardreport.app.looks import Looks
from hazardreport.app.notices import Notices
from hazardreport.app.session import Session


@dataclass(frozen=True, kw_only=True, slots=True)
class Desk:
    """The objects that main builds once."""

    session: Session
    notices: Notices
    jobs: Jobs
    live: LiveVerdict
    looks: Looks
    checking: CaseCheck
