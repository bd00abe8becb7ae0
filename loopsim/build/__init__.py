"""The document: one build, its layouts, the edits that lead from one build to the next, and its file."""

from loopsim.build.document import (
    SCHEMA_VERSION,
    AirReturn,
    Ambient,
    Build,
    BuildCoolant,
    CaseLoad,
    Enclosure,
    Layout,
    LoadCase,
    Placement,
)
from loopsim.build.files import FILE_ENDING, from_text, load, save, schema, to_text

__all__ = [
    "FILE_ENDING",
    "SCHEMA_VERSION",
    "AirReturn",
    "Ambient",
    "Build",
    "BuildCoolant",
    "CaseLoad",
    "Enclosure",
    "Layout",
    "LoadCase",
    "Placement",
    "from_text",
    "load",
    "save",
    "schema",
    "to_text",
]
