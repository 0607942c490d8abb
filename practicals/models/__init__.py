"""People, practicals, sessions, papers, readings and the audit trail."""

from practicals.models.audit import AppendOnly, AuditEntry
from practicals.models.files import PaperPhoto, StoredFile
from practicals.models.measuring import (
    Development,
    FrontMark,
    HelpReleased,
    ReferenceValue,
    SameFiguresAnswer,
)
from practicals.models.paper import Lane, NoResult, Paper
from practicals.models.people import Centre, Enrolment, Role, RoleGrant, TeachingClass, User
from practicals.models.practical import Analyte, Practical
from practicals.models.readings import (
    Amendment,
    BenchNote,
    HelpGiven,
    LaneReading,
    ReadingSet,
    SpotReading,
)
from practicals.models.roster import RosterIdentity
from practicals.models.session import (
    Attendance,
    Chamber,
    Group,
    GroupMember,
    Lesson,
    LessonHelper,
    Session,
    learners_of,
)
from practicals.models.sign_in import BenchCode, WrongTry
from practicals.models.unknowns import UnknownCode

__all__ = [
    "Amendment",
    "Analyte",
    "AppendOnly",
    "Attendance",
    "AuditEntry",
    "BenchCode",
    "BenchNote",
    "Centre",
    "Chamber",
    "Development",
    "Enrolment",
    "FrontMark",
    "Group",
    "GroupMember",
    "HelpGiven",
    "HelpReleased",
    "Lane",
    "LaneReading",
    "Lesson",
    "LessonHelper",
    "NoResult",
    "Paper",
    "PaperPhoto",
    "Practical",
    "ReadingSet",
    "ReferenceValue",
    "Role",
    "RoleGrant",
    "RosterIdentity",
    "SameFiguresAnswer",
    "Session",
    "SpotReading",
    "StoredFile",
    "TeachingClass",
    "UnknownCode",
    "User",
    "WrongTry",
    "learners_of",
]
