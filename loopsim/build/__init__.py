"""The document: one build, its layouts, the edits that lead from one build to the next, and its file."""

from loopsim.build.alarm_levels import AlarmLevels
from loopsim.build.document import (
    SCHEMA_VERSION,
    AirReturn,
    Ambient,
    Build,
    BuildCoolant,
    CaseLoad,
    Layout,
    LoadCase,
    Placement,
)
from loopsim.build.failing import FailureEvent, OwnFailure
from loopsim.build.files import FILE_ENDING, from_text, load, save, schema, to_text
from loopsim.build.leak_record import LeakRecord
from loopsim.build.room import Enclosure, PlanPoint, Reserved, WallOpening
from loopsim.build.sheet import Background, Note

__all__ = [
    "FILE_ENDING",
    "SCHEMA_VERSION",
    "AirReturn",
    "AlarmLevels",
    "Ambient",
    "Background",
    "Build",
    "BuildCoolant",
    "CaseLoad",
    "Enclosure",
    "FailureEvent",
    "Layout",
    "LeakRecord",
    "LoadCase",
    "Note",
    "OwnFailure",
    "Placement",
    "PlanPoint",
    "Reserved",
    "WallOpening",
    "from_text",
    "load",
    "save",
    "schema",
    "to_text",
]
